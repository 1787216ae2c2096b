//! The one thing we take from a picture's metadata besides its orientation: when it was taken.
//!
//! In: an Exif block, which is a small TIFF file in either byte order. Out: the camera's local date
//! and time, if it is there and makes sense. Everything else in the block (place, owner, serial
//! numbers) is never read. Offsets in the block are not trusted; nothing here can fail or panic.

use chrono::NaiveDateTime;

/// Tag of the pointer from the first directory to the Exif directory.
const EXIF_DIRECTORY: u16 = 0x8769;
/// Tag `DateTimeOriginal`: when the shutter was released, not when the file was edited.
const DATE_TIME_ORIGINAL: u16 = 0x9003;
/// Field types of the two tags: a 32-bit number, and text.
const LONG: u16 = 4;
const ASCII: u16 = 2;

/// The moment the picture was taken, in the camera's local time, if the block says so.
pub(super) fn taken(block: &[u8]) -> Option<NaiveDateTime> {
    let tiff = Tiff::open(block)?;
    let first = tiff.u32(4)?;
    let exif = tiff.find(first, EXIF_DIRECTORY, LONG)?;
    let entry = tiff.find_entry(tiff.u32(exif)?, DATE_TIME_ORIGINAL, ASCII)?;
    // Twenty bytes of text do not fit into the entry, so it holds an offset to them.
    let text = tiff.bytes(tiff.u32(entry)?, 19)?;
    let text = std::str::from_utf8(text).ok()?;
    NaiveDateTime::parse_from_str(text, "%Y:%m:%d %H:%M:%S").ok()
}

/// A TIFF block and its byte order.
struct Tiff<'a> {
    block: &'a [u8],
    little: bool,
}

impl<'a> Tiff<'a> {
    fn open(block: &'a [u8]) -> Option<Self> {
        let little = match block.first_chunk::<4>()? {
            b"II*\0" => true,
            b"MM\0*" => false,
            _ => return None,
        };
        Some(Self { block, little })
    }

    fn bytes(&self, at: u32, length: usize) -> Option<&'a [u8]> {
        let at = usize::try_from(at).ok()?;
        self.block.get(at..at.checked_add(length)?)
    }

    fn u16(&self, at: u32) -> Option<u16> {
        let bytes = *self.bytes(at, 2)?.first_chunk()?;
        Some(if self.little {
            u16::from_le_bytes(bytes)
        } else {
            u16::from_be_bytes(bytes)
        })
    }

    fn u32(&self, at: u32) -> Option<u32> {
        let bytes = *self.bytes(at, 4)?.first_chunk()?;
        Some(if self.little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        })
    }

    /// The place of the value of the entry with this tag and type in the directory at `directory`.
    fn find(&self, directory: u32, tag: u16, kind: u16) -> Option<u32> {
        let count = u32::from(self.u16(directory)?);
        (0..count)
            .filter_map(|number| directory.checked_add(2)?.checked_add(number * 12))
            .find(|entry| {
                self.u16(*entry) == Some(tag)
                    && entry.checked_add(2).and_then(|at| self.u16(at)) == Some(kind)
            })
            .and_then(|entry| entry.checked_add(8))
    }

    /// The same for a text of at least 19 characters.
    fn find_entry(&self, directory: u32, tag: u16, kind: u16) -> Option<u32> {
        let value = self.find(directory, tag, kind)?;
        (self.u32(value - 4)? >= 19).then_some(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A block in either byte order with one pointer, one date.
    fn block(little: bool, date: &[u8; 20]) -> Vec<u8> {
        let two = |n: u16| {
            if little {
                n.to_le_bytes()
            } else {
                n.to_be_bytes()
            }
        };
        let four = |n: u32| {
            if little {
                n.to_le_bytes()
            } else {
                n.to_be_bytes()
            }
        };
        let mut out = if little {
            b"II*\0".to_vec()
        } else {
            b"MM\0*".to_vec()
        };
        out.extend(four(8));
        out.extend(two(1));
        out.extend(
            [
                &two(EXIF_DIRECTORY)[..],
                &two(LONG),
                &four(1),
                &four(26),
                &four(0),
            ]
            .concat(),
        );
        out.extend(two(1));
        out.extend(
            [
                &two(DATE_TIME_ORIGINAL)[..],
                &two(ASCII),
                &four(20),
                &four(44),
                &four(0),
            ]
            .concat(),
        );
        out.extend(date);
        out
    }

    #[test]
    fn the_date_is_read_in_both_byte_orders() {
        for little in [true, false] {
            let found = taken(&block(little, b"2026:10:05 09:14:07\0")).map(|at| at.to_string());
            assert_eq!(found.as_deref(), Some("2026-10-05 09:14:07"));
        }
    }

    #[test]
    fn a_date_that_makes_no_sense_is_no_date() {
        assert_eq!(taken(&block(true, b"0000:00:00 00:00:00\0")), None);
        assert_eq!(taken(&block(true, b"    :  :     :  :  \0")), None);
        assert_eq!(taken(&block(true, b"2026:02:30 09:14:07\0")), None);
    }

    #[test]
    fn a_block_that_ends_early_or_points_astray_is_no_date() {
        let whole = block(false, b"2026:10:05 09:14:07\0");
        for end in 0..whole.len() - 1 {
            assert_eq!(taken(&whole[..end]), None, "cut at {end}");
        }
        // The pointers to the first directory, to the Exif directory and to the text.
        for place in [4, 7, 18, 21, 36, 39] {
            let mut broken = whole.clone();
            broken[place] = 0xff;
            assert_eq!(taken(&broken), None, "broken at {place}");
        }
    }
}
