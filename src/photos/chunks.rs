//! A walk along the chunks of a PNG or a WebP: is the picture all there?
//!
//! In: the bytes of the file. Out: yes, or the fault that its end is missing. The decoders find
//! most cuts themselves, but each in its own words and some not at all (a missing last chunk); the
//! walk decodes nothing and allocates nothing.

use super::fault::Fault;

/// Walks along a PNG's chunks to the one that ends it.
///
/// # Errors
/// [`Fault::CutShort`] when the bytes end before that.
pub(super) fn walk_png(bytes: &[u8]) -> Result<(), Fault> {
    let mut at = 8;
    loop {
        let head: &[u8; 8] = bytes
            .get(at..)
            .and_then(<[u8]>::first_chunk)
            .ok_or(Fault::CutShort)?;
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]);
        let length = usize::try_from(length).map_err(|_| Fault::CutShort)?;
        // Eight bytes of head and four of checksum surround the content.
        at = at
            .checked_add(12)
            .and_then(|at| at.checked_add(length))
            .ok_or(Fault::CutShort)?;
        if at > bytes.len() {
            return Err(Fault::CutShort);
        }
        if head.ends_with(b"IEND") {
            return Ok(());
        }
    }
}

/// Compares a WebP's claimed size with what is there.
///
/// # Errors
/// [`Fault::CutShort`] when there is less than the file claims.
pub(super) fn walk_webp(bytes: &[u8]) -> Result<(), Fault> {
    let head: &[u8; 12] = bytes.first_chunk().ok_or(Fault::CutShort)?;
    let claimed = u64::from(u32::from_le_bytes([head[4], head[5], head[6], head[7]])) + 8;
    if (bytes.len() as u64) < claimed {
        Err(Fault::CutShort)
    } else {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_png_must_reach_its_last_chunk() {
        let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
        bytes.extend(b"\0\0\0\x02teXtab....");
        bytes.extend(b"\0\0\0\0IEND....");
        assert_eq!(walk_png(&bytes), Ok(()));
        for end in 8..bytes.len() {
            assert_eq!(
                walk_png(&bytes[..end]),
                Err(Fault::CutShort),
                "cut at {end}"
            );
        }
    }

    #[test]
    fn a_chunk_that_claims_too_much_is_cut_short() {
        assert_eq!(
            walk_png(b"\x89PNG\r\n\x1a\n\xff\xff\xff\xffIHDR"),
            Err(Fault::CutShort)
        );
    }

    #[test]
    fn a_webp_must_be_as_long_as_it_claims() {
        assert_eq!(walk_webp(b"RIFF\x06\0\0\0WEBP.."), Ok(()));
        assert_eq!(walk_webp(b"RIFF\x07\0\0\0WEBP.."), Err(Fault::CutShort));
        assert_eq!(
            walk_webp(b"RIFF\xff\xff\xff\xffWEBP.."),
            Err(Fault::CutShort)
        );
    }
}
