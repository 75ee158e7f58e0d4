//! Points along a chain.

use super::piece::Piece;
use super::{Chain, Point};

impl Chain {
    /// `count` points evenly along the chain, the first at its start.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Point};
    /// let square = Chain::rounded_rectangle(Point::new(0.0, 0.0), 0.2, 0.2, 0.0);
    /// let corners = square.evenly(4);
    /// assert!(corners.iter().all(|p| (p.x_m.abs() - 0.1).abs() < 1e-12 && (p.y_m.abs() - 0.1).abs() < 1e-12));
    /// ```
    pub fn evenly(&self, count: u32) -> Vec<Point> {
        let pieces = self.piece_list();
        let total: f64 = pieces.iter().map(Piece::length).sum();
        let mut points = vec![];
        let mut left = pieces.iter();
        let mut piece = left.next();
        let mut passed = 0.0;
        for i in 0..count {
            let want = total * f64::from(i) / f64::from(count);
            while let Some(here) = piece {
                if passed + here.length() > want {
                    points.push(here.at((want - passed) / here.length()));
                    break;
                }
                passed += here.length();
                piece = left.next();
            }
        }
        points
    }
}
