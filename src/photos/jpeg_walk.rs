//! A walk along the markers of a JPEG: is the picture all there?
//!
//! In: the bytes of a JPEG. Out: what decoding needs to know beforehand. Decoders paint what is
//! missing in grey and say nothing, as a browser does; a kennel's page must not show that. The walk
//! decodes nothing and allocates nothing. What stands behind the picture's end (phones append
//! depth maps, second pictures and films) is not looked at.

use memchr::memchr;

use super::fault::Fault;

/// What the markers say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Walk {
    /// The picture is stored in several passes, for which a decoder needs more memory.
    pub(super) progressive: bool,
    /// There are bytes between the segments of the header that belong to none. Some cameras
    /// leave such bytes; they are harmless, but a strict decoder refuses them.
    pub(super) stray: bool,
}

/// Walks from the start of the picture to its end marker.
///
/// # Errors
/// [`Fault::CutShort`] when the bytes end before the end marker.
pub(super) fn walk(bytes: &[u8]) -> Result<Walk, Fault> {
    let mut found = Walk::default();
    let mut at = 2;
    loop {
        let (marker, after, skipped) = next_marker(bytes, at).ok_or(Fault::CutShort)?;
        found.stray |= skipped;
        at = after;
        match marker {
            0xd9 => return Ok(found),
            // Restart markers and the old temporary marker stand alone, without a length.
            0x01 | 0xd0..=0xd8 => {}
            _ => {
                found.progressive |= marker == 0xc2;
                at = segment_end(bytes, at).ok_or(Fault::CutShort)?;
                if marker == 0xda {
                    at = scan_end(bytes, at).ok_or(Fault::CutShort)?;
                }
            }
        }
    }
}

/// The next marker code at or after `at`, where its segment starts, and whether bytes were skipped.
fn next_marker(bytes: &[u8], at: usize) -> Option<(u8, usize, bool)> {
    let mut place = at;
    let mut skipped = false;
    loop {
        place = find_ff(bytes, place)?;
        skipped |= place != at;
        // Any number of 0xff may precede a marker as filling.
        while *bytes.get(place)? == 0xff {
            place += 1;
        }
        match *bytes.get(place)? {
            0 => skipped = true,
            marker => return Some((marker, place + 1, skipped)),
        }
    }
}

/// Where the segment ends whose two length bytes stand at `at`. A length below two, which a broken
/// file may claim, counts as two, so that the walk always moves on.
fn segment_end(bytes: &[u8], at: usize) -> Option<usize> {
    let length = u16::from_be_bytes([*bytes.get(at)?, *bytes.get(at + 1)?]);
    let end = at + usize::from(length.max(2));
    (end <= bytes.len()).then_some(end)
}

/// Where the coded data that starts at `at` is ended by a marker other than a restart.
fn scan_end(bytes: &[u8], at: usize) -> Option<usize> {
    let mut place = at;
    loop {
        place = find_ff(bytes, place)?;
        match *bytes.get(place + 1)? {
            0 | 0xd0..=0xd7 => place += 2,
            0xff => place += 1,
            _ => return Some(place),
        }
    }
}

/// The place of the next byte 0xff at or after `from`.
fn find_ff(bytes: &[u8], from: usize) -> Option<usize> {
    Some(from + memchr(0xff, bytes.get(from..)?)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Start, one application segment, a frame, a scan with stuffing and a restart, the end.
    fn small() -> Vec<u8> {
        let mut bytes = vec![0xff, 0xd8];
        bytes.extend([0xff, 0xe1, 0, 6, b'E', 0xff, 0xd9, 0]);
        bytes.extend([0xff, 0xc0, 0, 4, 8, 0]);
        bytes.extend([0xff, 0xda, 0, 3, 1]);
        bytes.extend([1, 2, 0xff, 0, 3, 0xff, 0xd0, 4, 0xff, 0xff]);
        bytes.extend([0xff, 0xd9]);
        bytes
    }

    #[test]
    fn the_end_marker_of_a_thumbnail_is_not_the_end() {
        assert_eq!(walk(&small()), Ok(Walk::default()));
    }

    #[test]
    fn every_shorter_file_is_cut_short() {
        let whole = small();
        for end in 2..whole.len() {
            assert_eq!(walk(&whole[..end]), Err(Fault::CutShort), "cut at {end}");
        }
    }

    #[test]
    fn what_follows_the_end_is_not_looked_at() {
        let mut bytes = small();
        bytes.extend([0xff, 0xd8, 0xff, 0xe1, 0xff]);
        assert!(walk(&bytes).is_ok());
    }

    #[test]
    fn progressive_frames_and_stray_bytes_are_noticed() {
        let mut bytes = small();
        bytes.splice(10..10, [7, 7, 7]);
        assert_eq!(
            walk(&bytes),
            Ok(Walk {
                progressive: false,
                stray: true
            })
        );
        let mut bytes = small();
        bytes[11] = 0xc2;
        assert_eq!(
            walk(&bytes),
            Ok(Walk {
                progressive: true,
                stray: false
            })
        );
    }
}
