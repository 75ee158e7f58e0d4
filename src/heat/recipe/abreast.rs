//! Recipes side by side, in the lanes of one kernel: for the rows of a batch and the draws of a range.

use super::answer::{Recipe, Stopped, recipe, stopped};
use super::ask::{Ask, Hold};
use super::cool::{InHand, cool};
use super::warm::{Warmed, warm};
use crate::error::Result;
use crate::heat::slab::abreast::Abreast;

/// Recipes abreast; measured: two gain two thirds as much, eight no more.
const LANES: usize = 4;

/// The answers of [`recipe`], to the bit.
pub(crate) fn recipes_abreast(asks: &[Ask]) -> Vec<Result<Recipe>> {
    let (groups, rest) = asks.as_chunks::<LANES>();
    groups
        .iter()
        .flat_map(|group| cooled(group, heated(group)))
        .chain(rest.iter().map(recipe))
        .collect()
}

/// The heating halves.
fn heated<const W: usize>(asks: &[Ask; W]) -> [Result<Warmed>; W] {
    let mut lanes = asks.each_ref().map(|ask| {
        ask.check()?;
        Warmed::cold(ask)
    });
    let slabs = lanes
        .each_ref()
        .map(|lane| lane.as_ref().ok().map(|warmed| &warmed.run));
    let Some(mut abreast) = Abreast::of(slabs) else {
        return asks.each_ref().map(|ask| {
            ask.check()?;
            warm(ask)
        });
    };
    loop {
        let mut runs = [const { None }; W];
        let mut lookouts = [const { None }; W];
        for (w, lane) in lanes.iter_mut().enumerate() {
            if let Ok(warmed) = lane
                && let Some(stretch) = warmed.next_stretch()
            {
                let (run, lookout) = warmed.apart();
                runs[w] = Some((run, stretch));
                lookouts[w] = Some(lookout);
            }
        }
        if runs.iter().all(Option::is_none) {
            break;
        }
        let ends = abreast.advance(runs, |w, track| {
            lookouts[w].as_mut().is_some_and(|l| l.passed(track))
        });
        for (lane, end) in lanes.iter_mut().zip(ends) {
            match (&mut *lane, end) {
                (Ok(warmed), Ok(over)) => warmed.over |= over,
                (_, Err(error)) => *lane = Err(error),
                (Err(_), Ok(_)) => {}
            }
        }
    }
    for (lane, ask) in lanes.iter_mut().zip(asks) {
        if let Ok(warmed) = lane {
            warmed.find(ask);
        }
    }
    lanes
}

/// The cooling halves: abreast what cools in the hand, one by one what is pressed on something.
fn cooled<const W: usize>(
    asks: &[Ask; W],
    warmed: [Result<Warmed>; W],
) -> impl Iterator<Item = Result<Recipe>> {
    let halves: Vec<Result<Stopped>> = asks
        .iter()
        .zip(warmed)
        .map(|(ask, warmed)| stopped(ask, warmed?))
        .collect();
    let mut in_hand: [Option<Result<InHand>>; W] = std::array::from_fn(|w| match &halves[w] {
        Ok(Stopped::Open(open)) if matches!(asks[w].hold, Hold::InHand) => {
            Some(InHand::begin(&asks[w], &open.state))
        }
        _ => None,
    });
    let slabs = in_hand
        .each_ref()
        .map(|lane| Some(&lane.as_ref()?.as_ref().ok()?.run));
    if let Some(mut abreast) = Abreast::of(slabs) {
        let mut runs = [const { None }; W];
        let mut rests = [const { None }; W];
        for (w, lane) in in_hand.iter_mut().enumerate() {
            if let Some(Ok(cooling)) = lane {
                rests[w] = Some((cooling.rest, &cooling.nodes));
                runs[w] = Some((&mut cooling.run, cooling.stretch));
            }
        }
        let ends = abreast.advance(runs, |w, track| {
            rests[w].is_some_and(|(rest, nodes)| rest.reached(track, nodes))
        });
        for (lane, end) in in_hand.iter_mut().zip(ends) {
            if let (Some(_), Err(error)) = (&lane, end) {
                *lane = Some(Err(error));
            }
        }
    } else {
        // Built differently: each by itself, below.
        in_hand = [const { None }; W];
    }
    asks.iter()
        .zip(halves)
        .zip(in_hand)
        .map(|((ask, half), in_hand)| match half? {
            Stopped::NeverOpen(answer) => Ok(*answer),
            Stopped::Open(open) => {
                let cooled = match in_hand {
                    Some(cooling) => cooling?.times(ask),
                    None => cool(ask, &open.state)?,
                };
                Ok(open.finish(ask, &cooled))
            }
        })
}
