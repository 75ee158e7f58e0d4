//! Room: stock.
