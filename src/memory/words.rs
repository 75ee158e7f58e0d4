//! Names, days and words that a shop gives, checked before they are remembered.

use jiff::civil::{Date, DateTime};

use crate::error::{Error, Result};
use crate::material::Catalogue;
use crate::shop::Shop;

/// Longest name or remark. [letters]
const LONGEST: usize = 400;

/// The text without blanks around it.
///
/// # Errors
/// [`Error::Shape`] where it is empty, longer than 400 letters, or holds control characters.
pub(super) fn named(what: &str, text: &str) -> Result<String> {
    let trimmed = text.trim();
    let odd = trimmed.chars().any(|c| c.is_control() && c != '\n');
    if trimmed.is_empty() || trimmed.chars().count() > LONGEST || odd {
        return Err(Error::Shape {
            what: what.into(),
            given: format!("{:?}", trimmed.chars().take(60).collect::<String>()),
            allowed: format!("1 to {LONGEST} letters without control characters"),
        });
    }
    Ok(trimmed.into())
}

/// The same for a text that may be left out; one of blanks counts as left out.
///
/// # Errors
/// As [`named`].
pub(super) fn said(what: &str, text: Option<&str>) -> Result<Option<String>> {
    let text = text.filter(|t| !t.trim().is_empty());
    text.map(|t| named(what, t)).transpose()
}

/// A material as plans will find it: the catalogue's name, or one of the shop's own. Its own are those of the sheets that it
/// buys; a name there that is one slip away from the catalogue's is taken for that slip.
///
/// # Errors
/// As [`named`]; [`Error::Unknown`] with the nearest names.
pub(super) fn material(name: &str, shop: &Shop) -> Result<String> {
    let name = named("material", name)?;
    let catalogue = Catalogue::standard()?;
    let known = match catalogue.get(&name) {
        Ok(known) => return Ok(known.name.clone()),
        Err(unknown) => unknown,
    };
    let of_shop = shop.sheets.iter().any(|s| s.material == name);
    let slipped = catalogue.names().iter().any(|n| slip(&name, n));
    if of_shop && !slipped {
        Ok(name)
    } else {
        Err(known)
    }
}

/// Whether one name is the other with a letter too many, missing, changed or exchanged with the next; two such in a long one.
/// `petg-2` is no slip of `petg`: numbers tell sheets of a family apart.
fn slip(a: &str, b: &str) -> bool {
    let letters = |t: &str| -> String {
        let small = t.chars().flat_map(char::to_lowercase);
        small.filter(|c| c.is_alphabetic()).collect()
    };
    let (a, b) = (letters(a), letters(b));
    match strsim::osa_distance(&a, &b) {
        1 => true,
        2 => a.len() == b.len() && a.len() > 5,
        _ => false,
    }
}

/// A day that is not before another, which `because` tells of: "it was accepted then".
///
/// # Errors
/// [`Error::Shape`] where it is.
pub(super) fn not_before(what: &str, on: &str, first: Option<&str>, because: &str) -> Result<()> {
    match first {
        // Days as they are written here stand in the order of their letters.
        Some(first) if on < first => Err(Error::Shape {
            what: what.into(),
            given: on.into(),
            allowed: format!("{first} or later: {because}"),
        }),
        _ => Ok(()),
    }
}

/// A day such as 2026-11-26.
///
/// # Errors
/// [`Error::Unit`] where it is none, [`Error::Shape`] for a year that is a slip.
pub(super) fn day(what: &str, text: &str) -> Result<Date> {
    let day = Date::strptime("%Y-%m-%d", text.trim()).map_err(|_| Error::Unit {
        what: what.into(),
        given: text.chars().take(40).collect(),
        expected: "a day such as \"2026-11-26\"".into(),
        remedy: "write year-month-day".into(),
    })?;
    in_years(what, text, day.year())?;
    Ok(day)
}

/// A start such as `2026-12-01 08:30`, as in a job's file.
///
/// # Errors
/// [`Error::Unit`] where it is none, [`Error::Shape`] for a year that is a slip.
pub(super) fn civil(what: &str, text: &str) -> Result<DateTime> {
    let start = crate::job::civil(what, text.trim())?;
    in_years(what, text, start.year())?;
    Ok(start)
}

/// First and last year of a shop's days: others are slips of the pen.
const YEARS: (i16, i16) = (2000, 2100);

fn in_years(what: &str, text: &str, year: i16) -> Result<()> {
    if (YEARS.0..=YEARS.1).contains(&year) {
        return Ok(());
    }
    Err(Error::Shape {
        what: what.into(),
        given: text.trim().chars().take(40).collect(),
        allowed: format!("a day of the years {} to {}", YEARS.0, YEARS.1),
    })
}
