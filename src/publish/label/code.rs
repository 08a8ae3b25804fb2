//! The number as a QR code, so that a camera finds the specimen.

use std::fmt::Write;

use qrcodegen::{QrCode, QrCodeEcc};

/// The squares of a code for `text` as one path in an area of `side`, from `x`, `y`; `None` where
/// the text is longer than a code holds. The quiet zone of four squares is within the area.
pub fn path(text: &str, x: f64, y: f64, side: f64) -> Option<String> {
    let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let n = code.size();
    let unit = side / f64::from(n + 8);
    let mut out = String::new();
    for row in 0..n {
        let mut column = 0;
        while column < n {
            let from = column;
            while column < n && code.get_module(column, row) {
                column += 1;
            }
            if column > from {
                let left = x + f64::from(from + 4) * unit;
                let top = y + f64::from(row + 4) * unit;
                let wide = f64::from(column - from) * unit;
                let _ = write!(out, "M{left:.3} {top:.3}h{wide:.3}v{unit:.3}h-{wide:.3}z");
            }
            column += 1;
        }
    }
    Some(out)
}
