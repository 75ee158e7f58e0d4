//! Recipes side by side, in the lanes of one kernel: for the rows of a batch and the draws of a range.

use super::answer::{Recipe, Stopped, stopped};
use super::ask::{Ask, Hold};
use super::cool::{InHand, State, cool};
use super::warm::Warmed;
use super::window::Window;
use crate::error::Result;
use crate::heat::slab::abreast::follow_all;

/// Recipes abreast; measured: two gain two thirds as much, eight no more.
const LANES: usize = 4;

/// The answers of [`recipe`](super::recipe), to the bit.
pub(crate) fn recipes_abreast(asks: &[Ask]) -> Vec<Result<Recipe>> {
    let mut halves: Vec<Option<Result<Stopped>>> = asks.iter().map(|_| None).collect();
    let heating = asks.iter().enumerate().map(|(place, ask)| {
        let cold = ask.check().and_then(|()| Warmed::cold(ask));
        (place, cold)
    });
    follow_all::<LANES, _>(heating, |place, warmed| {
        halves[place] = Some(warmed.and_then(|mut warmed| {
            warmed.find(&asks[place]);
            stopped(&asks[place], warmed)
        }));
    });
    // Every course ends, so every place has its half, and then its answer.
    cooled(asks, halves.into_iter().flatten())
}

/// The windows as far as their opening: what closes one after it has opened is not looked for.
pub(crate) fn openings_abreast(asks: &[Ask]) -> Vec<Result<Window>> {
    let mut windows: Vec<Option<Result<Window>>> = asks.iter().map(|_| None).collect();
    let heating = asks.iter().enumerate().map(|(place, ask)| {
        let cold = ask.check().and_then(|()| Warmed::cold(ask));
        (place, cold.map(|cold| cold.only_to_the_opening(ask)))
    });
    follow_all::<LANES, _>(heating, |place, warmed| {
        windows[place] = Some(warmed.map(|mut warmed| {
            warmed.find(&asks[place]);
            Window::of(&asks[place], &warmed)
        }));
    });
    // Every course ends, so every place has its window.
    windows.into_iter().flatten().collect()
}

/// The cooling halves: abreast what cools in the hand, by itself what is pressed on something.
fn cooled(asks: &[Ask], halves: impl Iterator<Item = Result<Stopped>>) -> Vec<Result<Recipe>> {
    let (mut answers, mut opens) = (Vec::new(), Vec::new());
    for (ask, half) in asks.iter().zip(halves) {
        let (answer, open) = match half {
            Ok(Stopped::Open(open)) if ask.hold == Hold::InHand => (None, Some(open)),
            Ok(Stopped::Open(open)) => {
                let cooled = cool(ask, &open.state);
                (Some(cooled.map(|cooled| open.finish(ask, &cooled))), None)
            }
            Ok(Stopped::NeverOpen(answer)) => (Some(Ok(*answer)), None),
            Err(error) => (Some(Err(error)), None),
        };
        answers.push(answer);
        opens.push(open);
    }
    let states: Vec<(usize, State)> = opens
        .iter_mut()
        .enumerate()
        .filter_map(|(place, open)| Some((place, std::mem::take(&mut open.as_mut()?.state))))
        .collect();
    let cooling = states
        .iter()
        .map(|(place, state)| (*place, InHand::begin(&asks[*place], state)));
    follow_all::<LANES, _>(cooling, |place, in_hand| {
        let ask = &asks[place];
        answers[place] = opens[place]
            .take()
            .map(|open| Ok(open.finish(ask, &in_hand?.times(ask))));
    });
    answers.into_iter().flatten().collect()
}
