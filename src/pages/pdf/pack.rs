//! A finished file made smaller: what is written out plainly goes into compressed object streams
//! (ISO 32000-1, 7.5.7 and 7.5.8).
//!
//! In: a PDF with one classic table of offsets, as the writer makes it. Out: the same objects under
//! the same numbers. The structure tree of a long table is thousands of small objects; packed, they
//! take a tenth of the room. It never changes an object, and gives back the file as it came when it
//! is not of the form expected.

use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;

/// Objects in one object stream.
const TOGETHER: usize = 250;

/// Where an object is in the packed file.
#[derive(Clone, Copy)]
enum ObjectPlace {
    Free,
    At(usize),
    Within(usize, usize),
}

/// Packs a file.
pub(super) fn pack(pdf: Vec<u8>) -> Vec<u8> {
    packed(&pdf)
        .filter(|small| small.len() < pdf.len())
        .unwrap_or(pdf)
}

fn packed(pdf: &[u8]) -> Option<Vec<u8>> {
    let keyword = rfind(pdf, b"startxref")?;
    let start: usize = text(pdf.get(keyword + 9..)?)
        .split_ascii_whitespace()
        .next()?
        .parse()
        .ok()?;
    let table = pdf.get(start..keyword)?;
    let trailer = rfind(table, b"trailer")?;
    let offsets = offsets(text(table.get(..trailer)?))?;
    let about = text(table.get(trailer + 7..)?)
        .trim()
        .strip_prefix("<<")?
        .strip_suffix(">>")?;
    let about = about.strip_prefix(&format!("/Size {}", offsets.len()))?;

    let first = offsets.iter().flatten().min()?;
    let mut out = pdf.get(..*first)?.to_vec();
    let mut places = vec![ObjectPlace::Free; offsets.len()];
    let mut small = Vec::new();
    let mut sorted: Vec<(usize, usize)> = offsets
        .iter()
        .enumerate()
        .filter_map(|(number, offset)| Some(((*offset)?, number)))
        .collect();
    sorted.sort_unstable();
    let ends = sorted
        .iter()
        .skip(1)
        .map(|(offset, _)| *offset)
        .chain([start]);
    for ((offset, number), end) in sorted.iter().zip(ends) {
        let object = pdf.get(*offset..end)?.trim_ascii_end();
        let body = object
            .strip_prefix(format!("{number} 0 obj").as_bytes())?
            .strip_suffix(b"endobj")?
            .trim_ascii();
        if body.ends_with(b"endstream") {
            *places.get_mut(*number)? = ObjectPlace::At(out.len());
            out.extend_from_slice(object);
            out.extend_from_slice(b"\n\n");
        } else {
            small.push((*number, body));
        }
    }
    for group in small.chunks(TOGETHER) {
        let holder = places.len();
        for (index, (number, _)) in group.iter().enumerate() {
            *places.get_mut(*number)? = ObjectPlace::Within(holder, index);
        }
        places.push(ObjectPlace::At(out.len()));
        object_stream(&mut out, holder, group)?;
    }
    cross_references(&mut out, places, about)?;
    Some(out)
}

/// Offsets of the objects by number; `None` for free ones.
fn offsets(table: &str) -> Option<Vec<Option<usize>>> {
    let mut words = table.split_ascii_whitespace();
    if words.next() != Some("xref") || words.next() != Some("0") {
        return None;
    }
    let size: usize = words.next()?.parse().ok()?;
    let mut offsets = Vec::new();
    while let (Some(offset), Some(generation), Some(kind)) =
        (words.next(), words.next(), words.next())
    {
        let used = kind == "n" && generation == "00000";
        if !used && kind != "f" {
            return None;
        }
        offsets.push(if used {
            Some(offset.parse().ok()?)
        } else {
            None
        });
    }
    (offsets.len() == size).then_some(offsets)
}

fn object_stream(out: &mut Vec<u8>, holder: usize, group: &[(usize, &[u8])]) -> Option<()> {
    let mut index = String::new();
    let mut bodies = Vec::new();
    for (number, body) in group {
        index.push_str(&format!("{number} {} ", bodies.len()));
        bodies.extend_from_slice(body);
        bodies.push(b'\n');
    }
    let first = index.len();
    let data = deflate(&[index.as_bytes(), &bodies])?;
    let head = format!(
        "{holder} 0 obj\n<</Type/ObjStm/N {}/First {first}/Length \
         {}/Filter/FlateDecode>>\nstream\n",
        group.len(),
        data.len()
    );
    stream(out, &head, &data);
    Some(())
}

/// Writes the stream of cross references, which is also the trailer, and the end of the file.
fn cross_references(out: &mut Vec<u8>, mut places: Vec<ObjectPlace>, about: &str) -> Option<()> {
    let (number, start) = (places.len(), out.len());
    places.push(ObjectPlace::At(start));
    let mut entries = Vec::with_capacity(places.len() * 7);
    for place in &places {
        let (kind, second, third) = match *place {
            ObjectPlace::Free => (0, 0, 0xFFFF),
            ObjectPlace::At(offset) => (1, offset, 0),
            ObjectPlace::Within(holder, index) => (2, holder, index),
        };
        entries.push(kind);
        entries.extend_from_slice(&u32::try_from(second).ok()?.to_be_bytes());
        entries.extend_from_slice(&u16::try_from(third).ok()?.to_be_bytes());
    }
    let data = deflate(&[&entries])?;
    let size = places.len();
    let head = format!(
        "{number} 0 obj\n<</Type/XRef/Size {size}/W[1 4 2]{about}/Length \
         {}/Filter/FlateDecode>>\nstream\n",
        data.len()
    );
    stream(out, &head, &data);
    out.extend_from_slice(format!("startxref\n{start}\n%%EOF").as_bytes());
    Some(())
}

fn stream(out: &mut Vec<u8>, head: &str, data: &[u8]) {
    out.extend_from_slice(head.as_bytes());
    out.extend_from_slice(data);
    out.extend_from_slice(b"\nendstream\nendobj\n\n");
}

fn deflate(parts: &[&[u8]]) -> Option<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    parts
        .iter()
        .try_for_each(|part| encoder.write_all(part))
        .ok()?;
    encoder.finish().ok()
}

fn rfind(bytes: &[u8], word: &[u8]) -> Option<usize> {
    bytes.windows(word.len()).rposition(|window| window == word)
}

/// The start of some bytes that is text.
fn text(bytes: &[u8]) -> &str {
    match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(end) => std::str::from_utf8(bytes.get(..end.valid_up_to()).unwrap_or_default())
            .unwrap_or_default(),
    }
}
