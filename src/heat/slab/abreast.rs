//! Several slabs through time side by side, each at its own pace, in the lanes of one kernel.
//!
//! A step waits for chains of operations, each for the one before it; with several slabs abreast the processor has other chains
//! to go on with. Each lane does what it would do alone, to the bit; one that has come to its end makes room for the next slab.

use super::drive::{Run, Stretch};
use super::kernel::Kernel;
use super::lanes::Lanes;
use super::track::Track;
use crate::error::Result;

/// A slab and what is to happen to it.
pub(crate) trait Course {
    /// What comes next; `None` at the end.
    fn next_stretch(&mut self) -> Option<Stretch>;
    /// The slab, and what looks at each of its records to say whether that ends the course.
    fn apart(&mut self) -> (&mut Run, impl FnMut(&Track) -> bool);
    /// Takes note that a record has ended the course.
    fn end(&mut self);

    /// Follows the course by itself.
    fn follow(&mut self) -> Result<()> {
        while let Some(stretch) = self.next_stretch() {
            let (run, passed) = self.apart();
            if run.advance(&stretch, passed)? {
                self.end();
            }
        }
        Ok(())
    }
}

/// Follows all courses, `W` at a time, and hands each on with its place in the order as it ends. A course is made when there is
/// room for it, so that few are in memory at a time.
pub(crate) fn follow_all<const W: usize, C: Course>(
    mut courses: impl Iterator<Item = (usize, Result<C>)>,
    mut ended: impl FnMut(usize, Result<C>),
) {
    let mut abreast: Option<Abreast<W, C>> = None;
    loop {
        for w in 0..W {
            while abreast.as_mut().is_none_or(|a| a.wants(w)) {
                if let Some((place, end)) = abreast.as_mut().and_then(|a| a.leave(w)) {
                    ended(place, end);
                }
                let Some((place, course)) = courses.next() else {
                    break;
                };
                let mut course = match course {
                    Ok(course) => course,
                    Err(error) => {
                        ended(place, Err(error));
                        continue;
                    }
                };
                let abreast = abreast.get_or_insert_with(|| Abreast::like(course.apart().0));
                if let Err(mut alone) = abreast.enter(w, place, course) {
                    ended(place, alone.follow().map(|()| alone));
                }
            }
        }
        let Some(abreast) = &mut abreast else {
            return;
        };
        match abreast.lanes.iter().flatten().count() {
            0 => return,
            // The last one is faster by itself.
            1 => abreast.last_alone(),
            _ => abreast.step(),
        }
    }
}

struct Seat<C> {
    place: usize,
    course: C,
    /// How it ended.
    end: Option<Result<()>>,
}

struct Abreast<const W: usize, C> {
    kernel: Kernel<W>,
    lanes: [Option<Seat<C>>; W],
    seconds: Lanes<W>,
}

impl<const W: usize, C: Course> Abreast<W, C> {
    fn like(run: &Run) -> Self {
        Self {
            kernel: Kernel::abreast(&run.kernel),
            lanes: [const { None }; W],
            // A lane that has nothing to do repeats its last step, and nothing is made of it.
            seconds: Lanes::all(1e-3),
        }
    }

    /// Whether a lane is free, or its course is at its end; begins its next stretch where there is one.
    fn wants(&mut self, w: usize) -> bool {
        let Some(seat) = &mut self.lanes[w] else {
            return true;
        };
        while seat.end.is_none() && seat.course.apart().0.walk.arrived() {
            let Some(stretch) = seat.course.next_stretch() else {
                seat.end = Some(Ok(()));
                break;
            };
            self.kernel.face(w, &stretch.faces);
            self.kernel.release(w);
            self.kernel.settle_lane(w);
            let walk = &mut seat.course.apart().0.walk;
            walk.begin(&self.kernel, w, stretch.end_s);
        }
        seat.end.is_some()
    }

    fn leave(&mut self, w: usize) -> Option<(usize, Result<C>)> {
        let mut seat = self.lanes[w].take()?;
        self.kernel.store(w, &mut seat.course.apart().0.kernel);
        Some((seat.place, seat.end?.map(|()| seat.course)))
    }

    /// Takes a course into a lane; gives it back where its slab is built differently.
    fn enter(&mut self, w: usize, place: usize, mut course: C) -> std::result::Result<(), C> {
        if !self.kernel.load(w, &course.apart().0.kernel) {
            return Err(course);
        }
        let end = None;
        self.lanes[w] = Some(Seat { place, course, end });
        Ok(())
    }

    /// One step of every lane.
    fn step(&mut self) {
        for (seat, seconds) in self.lanes.iter_mut().zip(&mut self.seconds.0) {
            if let Some(seat) = seat {
                *seconds = seat.course.apart().0.walk.propose();
            }
        }
        let error_k = self.kernel.attempt(self.seconds);
        for (w, seat) in self.lanes.iter_mut().enumerate() {
            let Some(seat) = seat else { continue };
            let (run, mut passed) = seat.course.apart();
            let judged = run
                .walk
                .judge(&mut self.kernel, w, error_k.0[w])
                .map(|taken| taken && passed(&run.walk.track));
            drop(passed);
            match judged {
                Ok(false) => {}
                Ok(true) => {
                    seat.course.end();
                    seat.end = Some(Ok(()));
                }
                Err(error) => seat.end = Some(Err(error)),
            }
        }
    }

    /// The only course that is left, to its end.
    fn last_alone(&mut self) {
        for (w, seat) in self.lanes.iter_mut().enumerate() {
            let Some(seat) = seat else { continue };
            let (run, passed) = seat.course.apart();
            self.kernel.store(w, &mut run.kernel);
            let end = match run.go_on(passed) {
                Ok(over) => {
                    if over {
                        seat.course.end();
                    }
                    seat.course.follow()
                }
                Err(error) => Err(error),
            };
            seat.end = Some(end);
            // What was done alone is the state now.
            self.kernel.load(w, &seat.course.apart().0.kernel);
        }
    }
}
