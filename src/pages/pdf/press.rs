//! From pages to the bytes of a file.
//!
//! In: pages of strips, the tree of what they mean, and what is said about the whole. Out: a tagged
//! PDF 1.7 that keeps to PDF/UA-1. It never decides where something stands, and puts every mark on
//! a page either into the tree or among the artifacts.

use std::collections::BTreeMap;
use std::num::NonZeroU16;

use krilla::SerializeSettings;
use krilla::color::{luma, rgb};
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, ListNumbering, Node, TableHeaderScope,
    Tag, TagGroup, TagKind, TagTree,
};

use super::NotTypeset;
use super::about::{Sheets, metadata};
use super::document::Document;
use super::faces::Faces;
use super::figure::{FigurePiece, Plate};
use super::pages::PdfPage;
use super::strip::{Bookmark, ContentRole, Ink, InkOwner, Strip, StructureTree};
use super::text::TextLine;

/// What has been written so far about the tree: the marked pieces of each node, and where its
/// figure stands.
#[derive(Default)]
struct Marks {
    pieces: BTreeMap<usize, Vec<Identifier>>,
    boxes: BTreeMap<usize, BBox>,
}

/// Writes the file.
pub(super) fn print(
    document: &Document,
    sheets: &[PdfPage],
    tree: &StructureTree,
    look: &Sheets,
    faces: &'static Faces,
) -> Result<Vec<u8>, NotTypeset> {
    let ua = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    let configuration = ua.finish().map_err(|refusal| NotTypeset::Refused {
        why: format!("{refusal:?}"),
    })?;
    let mut pdf = krilla::Document::new_with(SerializeSettings {
        configuration,
        ..SerializeSettings::default()
    });
    let mut marks = Marks::default();
    let mut bookmarks = Vec::new();
    for (page, sheet) in sheets.iter().enumerate() {
        let settings = PageSettings::from_wh(look.width, look.height).ok_or(NotTypeset::Fonts)?;
        let mut leaf = pdf.start_page_with(settings);
        let mut hand = Hand {
            surface: leaf.surface(),
            open: None,
            page,
            marks: &mut marks,
            faces,
        };
        for (origin, strip) in look.around(page).iter().map(|(y, strip)| (*y, strip)) {
            hand.strip([look.left, origin], strip);
        }
        for (y, strip) in &sheet.placed {
            let at = [look.left, look.top + y];
            hand.strip(at, strip);
            bookmarks.extend(strip.bookmark.as_ref().map(|mark| {
                (
                    mark,
                    XyzDestination::new(page, Point::from_xy(at[0], at[1] - 4.0)),
                )
            }));
        }
        hand.done();
        leaf.finish();
    }
    let about = metadata(document);
    pdf.set_outline(outline(&bookmarks, &about.title));
    pdf.set_tag_tree(tag_tree(tree, &marks).with_lang(Some(about.language.clone())));
    pdf.set_metadata(about.into_pdf());
    pdf.finish().map_err(|refusal| NotTypeset::Refused {
        why: super::why(&refusal),
    })
}

/// The hand that draws on one page.
struct Hand<'a> {
    surface: Surface<'a>,
    open: Option<InkOwner>,
    page: usize,
    marks: &'a mut Marks,
    faces: &'static Faces,
}

impl Hand<'_> {
    fn strip(&mut self, [left, top]: [f32; 2], strip: &Strip) {
        for (owner, ink) in &strip.inks {
            self.belong(*owner);
            match ink {
                Ink::Nothing => {}
                Ink::Text { x, y, line } => self.line(left + x, top + y, line),
                Ink::Rule {
                    from,
                    to,
                    width,
                    grey,
                } => self.rule(
                    [left + from[0], top + from[1]],
                    [left + to[0], top + to[1]],
                    *width,
                    *grey,
                ),
                Ink::Bar { at, size, colour } => {
                    self.bar([left + at[0], top + at[1]], *size, *colour);
                }
                Ink::Plate { x, y, plate } => self.plate([left + x, top + y], *owner, plate),
            }
        }
    }

    /// Opens a marked piece for this owner, unless it is open already.
    fn belong(&mut self, owner: InkOwner) {
        if self.open == Some(owner) {
            return;
        }
        self.lift();
        let artifact = |kind| ContentTag::Artifact(Artifact::with_kind(kind));
        let tag = match owner {
            InkOwner::Node(_) => ContentTag::Other,
            InkOwner::Layout => artifact(ArtifactType::Layout),
            InkOwner::Repeat => artifact(ArtifactType::PaginationOther),
            InkOwner::Header => artifact(ArtifactType::Header),
            InkOwner::Footer => artifact(ArtifactType::Footer),
        };
        let piece = self.surface.start_tagged(tag);
        if let InkOwner::Node(node) = owner {
            self.marks.pieces.entry(node).or_default().push(piece);
        }
        self.open = Some(owner);
    }

    fn done(mut self) {
        self.lift();
        self.surface.finish();
    }

    fn lift(&mut self) {
        if self.open.take().is_some() {
            self.surface.end_tagged();
        }
    }

    fn line(&mut self, x: f32, y: f32, line: &TextLine) {
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(Fill {
            paint: luma::Color::new(line.grey).into(),
            ..Fill::default()
        }));
        for (along, face, glyphs) in line.runs() {
            let start = Point::from_xy(near(x + along), near(y));
            self.surface.draw_glyphs(
                start,
                glyphs,
                self.faces.cut(face).font.clone(),
                line.text(),
                line.size,
                false,
            );
        }
    }

    fn rule(&mut self, from: [f32; 2], to: [f32; 2], width: f32, grey: u8) {
        let mut path = PathBuilder::new();
        path.move_to(near(from[0]), near(from[1]));
        path.line_to(near(to[0]), near(to[1]));
        let stroke = Stroke {
            paint: luma::Color::new(grey).into(),
            width,
            ..Stroke::default()
        };
        self.path(path.finish().as_ref(), None, Some(stroke));
    }

    fn bar(&mut self, at: [f32; 2], size: [f32; 2], [red, green, blue]: [u8; 3]) {
        let mut path = PathBuilder::new();
        if let Some(bar) = Rect::from_xywh(near(at[0]), near(at[1]), size[0], size[1]) {
            path.push_rect(bar);
        }
        let fill = Fill {
            paint: rgb::Color::new(red, green, blue).into(),
            ..Fill::default()
        };
        self.path(path.finish().as_ref(), Some(fill), None);
        // A white or pale ribbon would not be seen on paper without a rule beside it.
        if u16::from(red) + u16::from(green) + u16::from(blue) > 600 {
            for x in [at[0], at[0] + size[0]] {
                self.rule([x, at[1]], [x, at[1] + size[1]], 0.4, 120);
            }
        }
    }

    fn path(&mut self, path: Option<&Path>, fill: Option<Fill>, stroke: Option<Stroke>) {
        if let Some(path) = path {
            self.surface.set_fill(fill);
            self.surface.set_stroke(stroke);
            self.surface.draw_path(path);
        }
    }

    fn plate(&mut self, [x, y]: [f32; 2], owner: InkOwner, plate: &Plate) {
        if let (InkOwner::Node(node), Some(place)) =
            (owner, Rect::from_xywh(x, y, plate.width, plate.height))
        {
            self.marks.boxes.insert(node, BBox::new(self.page, place));
        }
        self.surface
            .push_transform(&Transform::from_translate(near(x), near(y)));
        let mut edge = PathBuilder::new();
        if let Some(inside) = Rect::from_xywh(-1.0, -1.0, plate.width + 2.0, plate.height + 2.0) {
            edge.push_rect(inside);
        }
        let edge = edge.finish();
        if let Some(edge) = &edge {
            self.surface.push_clip_path(edge, &FillRule::NonZero);
        }
        for piece in &plate.pieces {
            match piece {
                FigurePiece::Outline(outline) => self.path(
                    Some(&outline.path),
                    outline.fill.clone(),
                    outline.stroke.clone(),
                ),
                FigurePiece::Words { x, y, line } => self.line(*x, *y, line),
            }
        }
        if edge.is_some() {
            self.surface.pop();
        }
        self.surface.pop();
    }
}

/// A hundredth of a point is finer than any printer, and makes the file smaller.
fn near(length: f32) -> f32 {
    (length * 100.0).round() / 100.0
}

fn outline(bookmarks: &[(&Bookmark, XyzDestination)], title: &str) -> Outline {
    let mut outline = Outline::new();
    let mut open: Option<OutlineNode> = None;
    for (mark, place) in bookmarks {
        let node = OutlineNode::new(mark.text.clone(), place.clone()).with_open(true);
        match &mut open {
            Some(parent) if mark.level > 1 => parent.push_child(node),
            _ => {
                if let Some(done) = open.replace(node) {
                    outline.push_child(done);
                }
            }
        }
    }
    let whole = || {
        OutlineNode::new(
            title.to_owned(),
            XyzDestination::new(0, Point::from_xy(0.0, 0.0)),
        )
    };
    outline.push_child(open.unwrap_or_else(whole));
    outline
}

/// Joins nodes and marked pieces; from the last to the first, because children come after their
/// parents.
fn tag_tree(tree: &StructureTree, marks: &Marks) -> TagTree {
    let mut waiting: BTreeMap<Option<usize>, Vec<Node>> = BTreeMap::new();
    for (number, node) in tree.nodes.iter().enumerate().rev() {
        let pieces = marks
            .pieces
            .get(&number)
            .into_iter()
            .flatten()
            .map(|piece| Node::Leaf(*piece));
        let children = waiting
            .remove(&Some(number))
            .unwrap_or_default()
            .into_iter()
            .rev();
        let group = TagGroup::with_children(
            tag(&node.kind, marks.boxes.get(&number)),
            pieces.chain(children).collect(),
        );
        waiting
            .entry(node.parent)
            .or_default()
            .push(Node::Group(group));
    }
    TagTree::from(
        waiting
            .remove(&None)
            .unwrap_or_default()
            .into_iter()
            .rev()
            .collect::<Vec<_>>(),
    )
}

fn tag(kind: &ContentRole, place: Option<&BBox>) -> TagKind {
    match kind {
        ContentRole::Title => Tag::Title.into(),
        ContentRole::Heading(level, words) => Tag::Hn(
            NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN),
            Some(words.clone()),
        )
        .into(),
        ContentRole::Paragraph => Tag::P.into(),
        ContentRole::Code => Tag::Code.into(),
        ContentRole::Bullets => Tag::L(ListNumbering::Disc).into(),
        ContentRole::Pairs => Tag::L(ListNumbering::None).into(),
        ContentRole::Item => Tag::LI.into(),
        ContentRole::Label => Tag::Lbl.into(),
        ContentRole::Body => Tag::LBody.into(),
        ContentRole::Table => Tag::Table.into(),
        ContentRole::Caption => Tag::Caption.into(),
        ContentRole::TableHead => Tag::THead.into(),
        ContentRole::TableBody => Tag::TBody.into(),
        ContentRole::Row => Tag::TR.into(),
        ContentRole::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        ContentRole::Cell => Tag::TD.into(),
        ContentRole::Figure(alt) => Tag::Figure(Some(alt.clone()))
            .with_bbox(place.copied())
            .into(),
        ContentRole::Group => Tag::Div.into(),
    }
}
