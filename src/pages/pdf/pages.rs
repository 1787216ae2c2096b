//! From strips to pages.
//!
//! In: strips in reading order and the height of a page's text. Out: for each page, the strips and
//! where they stand. It never parts a strip, and never leaves a heading at the foot of a page.

use super::strip::Strip;

/// One page: strips and how far their tops are below the top of the text, in points.
#[derive(Default)]
pub(super) struct PdfPage {
    pub(super) placed: Vec<(f32, Strip)>,
}

/// Fills pages. There is always at least one.
pub(super) fn fill(strips: Vec<Strip>, height: f32) -> Vec<PdfPage> {
    let mut press = Filler {
        sheets: vec![PdfPage::default()],
        y: 0.0,
        height,
    };
    let mut group = Vec::new();
    let mut fresh = false;
    for strip in strips {
        if strip.fresh {
            press.place(std::mem::take(&mut group), fresh);
            fresh = true;
            continue;
        }
        let ends = !strip.keep;
        group.push(strip);
        if ends {
            press.place(std::mem::take(&mut group), fresh);
            fresh = false;
        }
    }
    press.place(group, fresh);
    press.sheets
}

struct Filler {
    sheets: Vec<PdfPage>,
    y: f32,
    height: f32,
}

impl Filler {
    /// Places strips that belong together: on this page, else on the next, else as much as fits on
    /// each.
    fn place(&mut self, group: Vec<Strip>, fresh: bool) {
        let Some(first) = group.first() else { return };
        let whole: f32 = group.iter().map(|strip| strip.before + strip.height).sum();
        if fresh {
            self.turn(first);
        }
        if self.fits(whole, first) {
            self.put_all(group);
        } else if whole - first.before + first.head.as_ref().map_or(0.0, |head| head.height)
            <= self.height
        {
            self.turn(first);
            self.put_all(group);
        } else {
            self.place_in_parts(group);
        }
    }

    /// Longer than a page: what leads something in goes with it, and with what that shall not be
    /// parted from, as far as a page holds it.
    fn place_in_parts(&mut self, group: Vec<Strip>) {
        let mut strips = group.into_iter();
        while let Some(first) = strips.as_slice().first() {
            let (together, need) = self.together(strips.as_slice());
            if !self.fits(need, first) {
                self.turn(first);
            }
            for strip in strips.by_ref().take(together) {
                self.put(strip);
            }
        }
    }

    /// How many of these strips to put on one page at the least, and the height they need.
    fn together(&self, strips: &[Strip]) -> (usize, f32) {
        let leads = strips.iter().take_while(|strip| strip.lead).count();
        let kept = usize::from(strips.get(leads).is_some_and(|strip| strip.keep));
        let need = |many: usize| {
            strips
                .iter()
                .take(many)
                .map(|strip| strip.before + strip.height)
                .sum::<f32>()
        };
        let spared = strips.first().map_or(0.0, |first| first.before);
        let again = strips
            .first()
            .and_then(|first| first.head.as_ref())
            .map_or(0.0, |head| head.height);
        let most = [leads + 1 + kept, leads + 1]
            .into_iter()
            .find(|many| need(*many) - spared + again <= self.height)
            .unwrap_or(1);
        (most, need(most))
    }

    fn empty(&self) -> bool {
        self.sheets
            .last()
            .is_none_or(|sheet| sheet.placed.is_empty())
    }

    fn fits(&self, need: f32, first: &Strip) -> bool {
        let spared = if self.empty() { first.before } else { 0.0 };
        self.y + need - spared <= self.height + 0.01
    }

    /// Begins a new page, unless this one is still empty, with the table's head if the strip wants
    /// it.
    fn turn(&mut self, first: &Strip) {
        if self.empty() {
            return;
        }
        self.sheets.push(PdfPage::default());
        self.y = 0.0;
        if let Some(head) = &first.head {
            self.put(head.as_ref().clone());
        }
    }

    fn put_all(&mut self, group: Vec<Strip>) {
        for strip in group {
            self.put(strip);
        }
    }

    fn put(&mut self, strip: Strip) {
        if !self.empty() {
            self.y += strip.before;
        }
        let height = strip.height;
        if let Some(sheet) = self.sheets.last_mut() {
            sheet.placed.push((self.y, strip));
        }
        self.y += height;
    }
}
