//! A link as a square to scan.
//!
//! In: a text. Out: an SVG of a QR code, black on white whatever the page looks like, since some
//! cameras read no other; it stands inside the page, so that the link is in no address.

use qrcode::{Color, EcLevel, QrCode};
use std::fmt::Write;

/// Modules that stay white around the code (ISO/IEC 18004 asks for four).
const QUIET: usize = 4;

/// The SVG; nothing for a text that is longer than a code can hold.
pub(super) fn svg(text: &str, alt: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
    let width = code.width();
    let mut path = String::new();
    for (at, colour) in code.to_colors().into_iter().enumerate() {
        if colour == Color::Dark {
            let (x, y) = (at % width + QUIET, at / width + QUIET);
            let _ = write!(path, "M{x} {y}h1v1h-1z");
        }
    }
    let side = width + 2 * QUIET;
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" width=\"264\" \
         height=\"264\" role=\"img\" aria-label=\"{alt}\" shape-rendering=\"crispEdges\"><path \
         fill=\"#fff\" d=\"M0 0h{side}v{side}H0z\"/><path fill=\"#000\" d=\"{path}\"/></svg>"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_is_drawn_with_its_quiet_zone_and_does_not_stand_in_it() {
        let link = "http://192.168.1.5:6390/#7ZK4-0QWM-AAAA-BBBB-CCCC-DDDD";
        let svg = svg(link, "QR code").unwrap();
        assert!(svg.contains("viewBox=\"0 0 41 41\""), "{}", &svg[..120]);
        assert!(svg.contains("M4 4h1v1h-1z"), "the corner of the finder");
        assert!(!svg.contains("7ZK4"));
        assert_eq!(super::svg(&"x".repeat(4000), ""), None);
    }
}
