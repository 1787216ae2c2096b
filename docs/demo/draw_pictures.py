#!/usr/bin/env python3
"""Draw the pictures of the demo kennel.

The demo records describe an invented kennel, so its pictures are invented too:
every one of them is drawn by this script, in the manner of a hand-pulled print
(ink shapes with carved hair, gouache tints, paper grain), from the shapes below.

Needs Python 3.10 or later and three packages:

    pip install skia-python numpy pillow

Run it from anywhere; it writes below content/ of the project it lies in:

    python3 docs/demo/draw_pictures.py                  all pictures
    python3 docs/demo/draw_pictures.py juno wren-asleep some of them, by name
    python3 docs/demo/draw_pictures.py --out elsewhere  into another folder

Every seed is fixed, so a second run with the same versions of the packages
gives the same bytes.  Three pictures carry metadata on purpose, all of it
invented: one is stored lying on its side with an EXIF orientation, and two name
a place and an author, so that whoever publishes them can be seen to turn the
one upright and to strip the others.
"""

import argparse
import math
import sys
import zlib
from pathlib import Path

import numpy as np
import skia
from PIL import Image, ImageFilter

# ---------------------------------------------------------------- colours

PAPER = "#f4ecdd"
CREAM = "#fbf5e6"
INK = "#1c191a"
HEATHER = "#8a6a96"
HEATHER_PALE = "#c7b3c6"
MOSS = "#66774a"
MOSS_DARK = "#3d4d33"
MOSS_PALE = "#a9b180"
BRASS = "#c9993a"
BRASS_PALE = "#e6c878"
BRICK = "#a9492f"
BRICK_PALE = "#d38b6a"
SLATE = "#55666f"
SLATE_DARK = "#333f47"
SLATE_PALE = "#a9b7b9"
GORSE = "#e8b92c"
EARTH = "#6b4a33"
EARTH_DARK = "#432e22"
STONE = "#b9ad99"
STONE_DARK = "#857a6b"
SKIN = "#e0b08e"

RIBBONS = {
    "green": "#4f8a3d",
    "blue": "#3b74ae",
    "yellow": "#e5ae27",
    "red": "#bf3a2b",
    "purple": "#85509c",
    "cream": "#fbf4e2",
}

# Each ramp runs from the deepest shadow to the carved highlight.
COATS = {
    "black": ["#0e0d0e", "#171517", "#201e20", "#2d2b2d", "#454446", "#6e6d6d", "#a29e98"],
    "brindle": ["#120d0a", "#1f1611", "#2f2118", "#493222", "#6e4b2f", "#96683c", "#bd9260"],
    "wheaten": ["#664122", "#92643a", "#b78a52", "#d0a86e", "#e2c491", "#f0ddb6", "#fcf4de"],
}


def rgb(colour):
    """The three channels, 0 to 255, of a colour written as #rrggbb."""
    return tuple(int(colour[i:i + 2], 16) for i in (1, 3, 5))


def mix(a, b, t):
    """The colour a part `t` of the way from `a` to `b`."""
    pairs = zip(rgb(a), rgb(b))
    return "#%02x%02x%02x" % tuple(round(p + (q - p) * t) for p, q in pairs)


def ink(colour, alpha=1.0, stroke=None):
    """A paint of that colour; with `stroke`, a round pen of that width in pixels."""
    paint = skia.Paint(AntiAlias=True, Color=skia.Color(*rgb(colour), round(255 * alpha)))
    if stroke is not None:
        paint.setStyle(skia.Paint.kStroke_Style)
        paint.setStrokeWidth(stroke)
        paint.setStrokeCap(skia.Paint.kRound_Cap)
        paint.setStrokeJoin(skia.Paint.kRound_Join)
    return paint


def seed_of(*words):
    """A seed that depends on the words only, the same on every machine."""
    return zlib.crc32(" ".join(str(w) for w in words).encode())


# ---------------------------------------------------------------- geometry

class Place:
    """Where local coordinates lie on the sheet: scale, turn, mirror and shift."""

    def __init__(self, matrix):
        self.m = np.asarray(matrix, float)

    @classmethod
    def at(cls, x=0.0, y=0.0, scale=1.0, turn=0.0, flip=False, squash=1.0):
        """`turn` is in degrees, clockwise; `flip` mirrors left and right."""
        a = math.radians(turn)
        c, s = math.cos(a), math.sin(a)
        sx, sy = (-scale if flip else scale), scale * squash
        return cls([[c * sx, -s * sy, x], [s * sx, c * sy, y], [0, 0, 1]])

    def __matmul__(self, other):
        return Place(self.m @ other.m)

    def pts(self, points):
        p = np.asarray(points, float).reshape(-1, 2)
        return p @ self.m[:2, :2].T + self.m[:2, 2]

    def dirs(self, vectors):
        return np.asarray(vectors, float).reshape(-1, 2) @ self.m[:2, :2].T

    @property
    def unit(self):
        """Pixels to one local unit."""
        return math.sqrt(abs(np.linalg.det(self.m[:2, :2])))


def smooth(points, closed=True, steps=10):
    """A curve through the points; a point with a third member is a sharp corner."""
    knots = []
    for p in points:
        knots.append(p[:2])
        if len(p) > 2:
            knots.append(p[:2])
    k = np.asarray(knots, float)
    n = len(k)
    before = np.roll(k, 1, 0) if closed else np.vstack([k[:1], k[:-1]])
    after = np.roll(k, -1, 0) if closed else np.vstack([k[1:], k[-1:]])
    after2 = np.roll(k, -2, 0) if closed else np.vstack([k[2:], k[-1:], k[-1:]])
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    a, b, c, d = before[:, None], k[:, None], after[:, None], after2[:, None]
    curve = 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t ** 2
                   + (3 * b - a - 3 * c + d) * t ** 3)
    curve = curve if closed else curve[:n - 1]
    # Between the two halves of a corner there is nothing to draw.
    curve = curve[(np.abs(k - np.roll(k, -1, 0)).sum(1) > 1e-9)[:len(curve)]]
    out = curve.reshape(-1, 2)
    return out if closed else np.vstack([out, k[-1:]])


def path_of(points, closed=True):
    path = skia.Path()
    path.addPoly([skia.Point(float(x), float(y)) for x, y in points], closed)
    return path


def shape(canvas, points, colour, alpha=1.0, place=None, curved=True, edge=None, edge_width=3):
    """Fill a shape; `edge` draws its outline in that colour as well."""
    pts = smooth(points) if curved else np.asarray([p[:2] for p in points], float)
    pts = place.pts(pts) if place else pts
    path = path_of(pts)
    if colour:
        canvas.drawPath(path, ink(colour, alpha))
    if edge:
        canvas.drawPath(path, ink(edge, 1, edge_width))
    return path


def line(canvas, points, colour, width, place=None, alpha=1.0, curved=True):
    pts = smooth(points, closed=False) if curved else np.asarray(points, float)
    pts = place.pts(pts) if place else pts
    canvas.drawPath(path_of(pts, False), ink(colour, alpha, width))


def ellipse(cx, cy, rx, ry, turn=0.0, n=40):
    a = np.linspace(0, 2 * math.pi, n, endpoint=False)
    t = math.radians(turn)
    x, y = rx * np.cos(a), ry * np.sin(a)
    return np.stack([cx + x * math.cos(t) - y * math.sin(t),
                     cy + x * math.sin(t) + y * math.cos(t)], 1)


def oval(canvas, cx, cy, rx, ry, colour, turn=0.0, place=None, alpha=1.0, edge=None, edge_width=3):
    return shape(canvas, ellipse(cx, cy, rx, ry, turn), colour, alpha, place, False, edge, edge_width)


def blade(canvas, x, y, dx, dy, width, bend, paint):
    """One tapered cut of the gouge, from its broad root to its point."""
    nx, ny = -dy, dx
    length = math.hypot(dx, dy) or 1.0
    nx, ny = nx / length, ny / length
    w = width / 2
    bx, by = nx * bend * length, ny * bend * length
    mx, my = x + dx * 0.5 + bx, y + dy * 0.5 + by
    path = skia.Path()
    path.moveTo(x + nx * w * 0.5, y + ny * w * 0.5)
    path.quadTo(mx + nx * w, my + ny * w, x + dx, y + dy)
    path.quadTo(mx - nx * w, my - ny * w, x - nx * w * 0.5, y - ny * w * 0.5)
    path.close()
    canvas.drawPath(path, paint)


# ---------------------------------------------------------------- texture

def noise(width, height, size, seed, octaves=3):
    """Soft noise in -1 to 1 whose largest patches are about `size` pixels wide and high."""
    sx, sy = size if isinstance(size, tuple) else (size, size)
    rng = np.random.default_rng(seed)
    total = np.zeros((height, width), np.float32)
    gain = 1.0
    for _ in range(octaves):
        w, h = max(2, int(width / sx) + 2), max(2, int(height / sy) + 2)
        small = Image.fromarray(rng.uniform(-1, 1, (h, w)).astype(np.float32), "F")
        total += gain * np.asarray(small.resize((width, height), Image.BICUBIC))
        gain, sx, sy = gain * 0.5, max(1, sx / 2), max(1, sy / 2)
    return np.clip(total / 1.2, -1, 1)


class Sheet:
    """A sheet of paper that is printed plate by plate, back to front."""

    def __init__(self, name, width=1600, height=1200, paper=PAPER):
        self.name, self.w, self.h = name, width, height
        self.plates = 0
        self.image = np.ones((height, width, 3), np.float32) * np.array(rgb(paper), np.float32)

    def seed(self, *words):
        return seed_of(self.name, *words)

    def rng(self, *words):
        return np.random.default_rng(self.seed(*words))

    def print(self, draw, wobble=2.0, grain=22, dry=0.0, mottle=0.06):
        """Print one plate: `draw(canvas)` cuts it, the rest is how the ink took.

        `wobble` is in pixels and bends every edge; `dry` from 0 to 1 lets the
        paper show through where the ink ran thin; `mottle` varies its strength.
        """
        self.plates += 1
        surface = skia.Surface(self.w, self.h)
        canvas = surface.getCanvas()
        draw(canvas)
        plate = surface.makeImageSnapshot().toarray(colorType=skia.ColorType.kRGBA_8888_ColorType)
        plate = plate.astype(np.float32)
        # Colours are weighted by their cover before they are bent, or the
        # nothing beside an edge would bleed into it as a dark fringe.
        plate[..., :3] *= plate[..., 3:] / 255
        if wobble:
            plate = self._bend(plate, wobble, grain)
        alpha = plate[..., 3:] / 255
        colour = plate[..., :3] / np.maximum(alpha, 1e-3)
        if mottle:
            soft = noise(self.w, self.h, 90, self.seed("mottle", self.plates), 4)
            colour = np.clip(colour * (1 + mottle * soft[..., None]), 0, 255)
        if dry:
            alpha = alpha * self._thin(dry)
        self.image += (colour - self.image) * alpha

    def _bend(self, plate, wobble, grain):
        seed = self.seed("bend", self.plates)
        dx = noise(self.w, self.h, grain, seed, 2) * wobble
        dy = noise(self.w, self.h, grain, seed + 1, 2) * wobble
        ys, xs = np.mgrid[0:self.h, 0:self.w].astype(np.float32)
        xs, ys = np.clip(xs + dx, 0, self.w - 1.01), np.clip(ys + dy, 0, self.h - 1.01)
        xi, yi = xs.astype(np.int32), ys.astype(np.int32)
        fx, fy = (xs - xi)[..., None], (ys - yi)[..., None]
        top = plate[yi, xi] * (1 - fx) + plate[yi, xi + 1] * fx
        low = plate[yi + 1, xi] * (1 - fx) + plate[yi + 1, xi + 1] * fx
        return top * (1 - fy) + low * fy

    def _thin(self, dry):
        broad = noise(self.w, self.h, 160, self.seed("broad", self.plates), 3)
        streak = noise(self.w, self.h, (26, 3), self.seed("streak", self.plates), 2)
        speck = np.random.default_rng(self.seed("speck", self.plates)).uniform(-1, 1, (self.h, self.w))
        bare = 0.5 * broad + 0.45 * streak + 0.35 * speck.astype(np.float32)
        return np.clip(1 - np.clip((bare - (0.95 - dry)) * 4, 0, 1), 0, 1)[..., None]

    def tint(self, colour, field):
        """Lay a transparent wash: `field` from 0 to 1 says how much, pixel by pixel."""
        wash = self.image * np.array(rgb(colour), np.float32) / 255
        self.image += (wash - self.image) * field[..., None]

    def glow(self, colour, field):
        """Lighten towards a colour."""
        self.image += (np.array(rgb(colour), np.float32) - self.image) * field[..., None]

    def finish(self):
        """The paper's own grain over everything, and the finished picture."""
        fibre = noise(self.w, self.h, (7, 2), self.seed("fibre"), 2)
        weave = noise(self.w, self.h, 3, self.seed("weave"), 1)
        cloud = noise(self.w, self.h, 400, self.seed("cloud"), 3)
        tone = 1 + 0.016 * fibre + 0.016 * weave + 0.02 * cloud
        lifted = self.image + 7 * (1 - self.image / 255)
        return Image.fromarray(np.clip(lifted * tone[..., None], 0, 255).astype(np.uint8), "RGB")


def radial(sheet, cx, cy, rx, ry):
    """1 at the centre, 0 outside the ellipse, soft between."""
    ys, xs = np.mgrid[0:sheet.h, 0:sheet.w].astype(np.float32)
    d = ((xs - cx) / rx) ** 2 + ((ys - cy) / ry) ** 2
    return np.clip(1 - d, 0, 1) ** 1.5


def ramp(sheet, top, bottom):
    """0 at the height `top`, 1 at the height `bottom`, in pixels."""
    ys = np.mgrid[0:sheet.h, 0:sheet.w][0].astype(np.float32)
    return np.clip((ys - top) / (bottom - top), 0, 1)


# ---------------------------------------------------------------- fur

class Fur:
    """A piece of dog: an outline, and how its hair lies.

    `hair` lists guides `(x, y, dx, dy, length)`; between them the direction and
    the length of the hair are blended.  `bumps` lists soft swellings
    `(x, y, radius, height)` that catch the light.  `tone` shifts the piece
    towards shadow (below 0) or light.  `sharp` keeps every hair inside the outline,
    for the sleek coat of the first days.
    """

    def __init__(self, outline, hair, bumps=(), tone=0.0, density=1.0, width=1.0, sharp=False):
        self.outline, self.hair, self.bumps = outline, hair, bumps
        self.tone, self.density, self.width, self.sharp = tone, density, width, sharp


def swelling(points, bumps, place, low, high):
    """How much light falls on each part of a shape: a field over its box, and the mask."""
    size = high - low
    zoom = 260.0 / max(size.max(), 1)
    w, h = int(size[0] * zoom) + 3, int(size[1] * zoom) + 3
    surface = skia.Surface(w, h)
    surface.getCanvas().drawPath(path_of((points - low) * zoom + 1), ink("#ffffff"))
    mask = Image.fromarray(surface.makeImageSnapshot().toarray()[..., 3])
    height = np.zeros((h, w), np.float32)
    for radius, gain in ((4, 0.7), (10, 1.0), (24, 1.6)):
        height += gain * np.asarray(mask.filter(ImageFilter.GaussianBlur(radius)), np.float32) / 255
    ys, xs = np.mgrid[0:h, 0:w].astype(np.float32)
    for x, y, radius, gain in bumps:
        cx, cy = ((place.pts([(x, y)])[0] - low) * zoom + 1)
        r = radius * place.unit * zoom
        height += gain * np.exp(-((xs - cx) ** 2 + (ys - cy) ** 2) / (2 * (r * 0.6) ** 2))
    gy, gx = np.gradient(height)
    return (gx * 9, gy * 9), np.asarray(mask) > 127, zoom


def fur(canvas, piece, place, coat, seed, light=(-0.55, -0.83)):
    """Print a piece of fur: its shape, then hair upon hair from shadow to light."""
    rng = np.random.default_rng(seed)
    outline = place.pts(smooth(piece.outline))
    unit = place.unit
    ramp_ = COATS[coat]
    shift = piece.tone * 3
    ground = int(np.clip(round((3 if coat == "wheaten" else 1.6) + shift), 0, 6))
    canvas.drawPath(path_of(outline), ink(ramp_[ground]))

    low, high = outline.min(0), outline.max(0)
    (gx, gy), mask, zoom = swelling(outline, piece.bumps, place, low, high)
    area = mask.sum() / (zoom * unit) ** 2
    count = int(np.clip(area * 0.8 * piece.density, 24, 14000))
    guides = np.asarray(piece.hair, float)
    where = place.pts(guides[:, :2])
    flow = place.dirs(guides[:, 2:4])
    flow /= np.maximum(np.linalg.norm(flow, axis=1, keepdims=True), 1e-6)

    spots = rng.uniform(low, high, (count * 4, 2))
    cell = ((spots - low) * zoom + 1).astype(int)
    inside = mask[np.clip(cell[:, 1], 0, mask.shape[0] - 1), np.clip(cell[:, 0], 0, mask.shape[1] - 1)]
    spots, cell = spots[inside][:count], cell[inside][:count]
    count = len(spots)
    if not count:
        return
    gap = ((spots[:, None] - where[None]) ** 2).sum(2) / unit ** 2
    pull = 1 / (gap + 6) ** 1.6
    pull /= pull.sum(1, keepdims=True)
    along = pull @ flow
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-6)
    length = (pull @ guides[:, 4]) * unit

    # Locks: neighbours turn together, and each hair a little on its own.
    lock = noise(mask.shape[1], mask.shape[0], 26, seed + 7, 2)[cell[:, 1], cell[:, 0]]
    turn = 0.42 * lock + rng.normal(0, 0.13, count)
    c, s = np.cos(turn), np.sin(turn)
    along = np.stack([along[:, 0] * c - along[:, 1] * s, along[:, 0] * s + along[:, 1] * c], 1)

    lit = gx[cell[:, 1], cell[:, 0]] * -light[0] + gy[cell[:, 1], cell[:, 0]] * -light[1]
    lit = np.tanh(lit * 0.9)
    value = hair_values(coat, lit, lock, spots, unit, seed, rng) + shift
    level = np.clip(np.round(value), 0, 6).astype(int)
    length = length * rng.uniform(0.65, 1.2, count)
    thick = unit * 1.25 * piece.width * rng.uniform(0.7, 1.35, count) * np.where(level >= 5, 0.72, 1.0)
    bend = rng.normal(0, 0.09, count) + 0.12 * lock
    paints = [ink(x) for x in ramp_]
    canvas.save()
    if piece.sharp:
        canvas.clipPath(path_of(outline), skia.ClipOp.kIntersect, True)
    for i in np.argsort(level + rng.uniform(0, 1.6, count), kind="stable"):
        x, y = spots[i]
        dx, dy = along[i] * length[i]
        blade(canvas, x, y, dx, dy, thick[i], bend[i], paints[level[i]])
    canvas.restore()


def hair_values(coat, lit, lock, spots, unit, seed, rng):
    """Which step of its coat's ramp each hair takes, before rounding."""
    count = len(spots)
    if coat == "black":
        return 1.6 + 2.7 * np.clip(lit, -0.7, 1) + 0.7 * lock + rng.normal(0, 1.0, count)
    if coat == "wheaten":
        return 3.6 + 2.5 * lit + 0.6 * lock + rng.normal(0, 0.95, count)
    # Brindle: dark and tan in streaks that run across the body, never sharp.
    x, y = spots[:, 0] / unit, spots[:, 1] / unit
    wave = np.sin(x * 0.55 + 1.6 * np.sin(y * 0.09 + seed % 7) + 0.35 * y)
    wave += 0.6 * np.sin(x * 0.23 - y * 0.31 + seed % 5)
    return 1.7 + 1.7 * lit + 1.05 * wave + 0.5 * lock + rng.normal(0, 0.95, count)


# ---------------------------------------------------------------- faces

def eye(canvas, place, x, y, r, coat, look=(-0.2, -0.1), shut=False):
    """An almond eye; a shut one is a soft line with lashes of light."""
    unit = place.unit
    if shut:
        line(canvas, [(x - r * 1.5, y - r * 0.1), (x, y + r * 0.55), (x + r * 1.5, y)],
             INK if coat == "wheaten" else "#0a0909", unit * r * 0.42, place)
        line(canvas, [(x - r * 1.3, y + r * 0.55), (x, y + r * 1.15), (x + r * 1.3, y + r * 0.6)],
             COATS[coat][5], unit * r * 0.2, place)
        return
    rim = "#0b0909"
    oval(canvas, x, y, r * 1.42, r * 1.18, rim, place=place)
    oval(canvas, x, y + r * 0.05, r * 1.02, r * 0.98, "#43240f", place=place)
    oval(canvas, x + look[0] * r, y + look[1] * r, r * 0.62, r * 0.68, "#070606", place=place)
    oval(canvas, x - r * 0.32, y - r * 0.36, r * 0.3, r * 0.28, CREAM, place=place)
    oval(canvas, x + r * 0.36, y + r * 0.42, r * 0.16, r * 0.13, "#b98b5c", place=place)


def nose_front(canvas, place, x, y, w, h):
    """The big square nose of the breed, from in front."""
    pts = [(x - w, y - h * 0.5), (x - w * 0.6, y - h), (x, y - h * 1.05), (x + w * 0.6, y - h),
           (x + w, y - h * 0.5), (x + w * 0.72, y + h * 0.5), (x, y + h), (x - w * 0.72, y + h * 0.5)]
    shape(canvas, pts, "#0c0b0c", place=place)
    oval(canvas, x - w * 0.25, y - h * 0.66, w * 0.5, h * 0.18, "#8b8b8f", place=place, alpha=0.85)
    for side in (-1, 1):
        oval(canvas, x + side * w * 0.46, y + h * 0.12, w * 0.2, h * 0.26, "#000000", 20 * side, place)
        line(canvas, [(x + side * w * 0.62, y - h * 0.12), (x + side * w * 0.76, y + h * 0.2)],
             "#5c5c60", place.unit * w * 0.07, place)
    line(canvas, [(x, y - h * 0.2), (x, y + h * 0.95)], "#000000", place.unit * w * 0.1, place)


def tongue(canvas, place, x, y, w, h, turn=0.0):
    here = place @ Place.at(x, y, 1, turn)
    shape(canvas, [(-w, 0), (-w * 0.95, h * 0.6), (0, h), (w * 0.95, h * 0.6), (w, 0), (0, -h * 0.15)],
          "#c9705f", place=here, edge="#7c3a30", edge_width=max(1.5, place.unit * 0.4))
    line(canvas, [(0, 0), (0, h * 0.6)], "#9d4d40", place.unit * w * 0.14, here)


def ear_fur(base_a, tip, base_b, coat_tone=0.0, length=5):
    """A pricked ear between two feet and its tip, with hair running to the tip."""
    (ax, ay), (tx, ty), (bx, by) = base_a, tip, base_b
    left = (ax + (tx - ax) * 0.55 - (bx - ax) * 0.10, ay + (ty - ay) * 0.55)
    right = (bx + (tx - bx) * 0.5 + (bx - ax) * 0.10, by + (ty - by) * 0.5)
    mid = ((ax + bx) / 2, (ay + by) / 2)
    return Fur([base_a, left, (tx, ty, 1), right, base_b, (mid[0], mid[1] + 4)],
               [(ax, ay, tx - ax, ty - ay, length), (bx, by, tx - bx, ty - by, length),
                (tx, ty, tx - mid[0], ty - mid[1], length * 0.15)], tone=coat_tone, width=0.8, density=1.3)


def head_profile(canvas, place, coat, seed, age="adult", shut=False, mouth=False):
    """A head from the side, looking left; the origin is where skull meets neck."""
    if age == "adult":
        return adult_profile(canvas, place, coat, seed, shut, mouth)
    return puppy_profile(canvas, place, coat, seed, age, shut)


def adult_profile(canvas, place, coat, seed, shut, mouth):
    fur(canvas, ear_fur((-27, -8), (-21, -47), (-10, -8), -0.35), place, coat, seed + 1)
    skull = Fur(
        [(6, 8), (5, -5), (-6, -13), (-22, -15.5), (-36, -14), (-43, -9), (-58, -6.5), (-72, -5.5), (-79, -3),
         (-81, 3), (-77, 9), (-62, 14), (-42, 20), (-20, 25), (0, 24)],
        [(-4, -10, 1, 0.1, 8), (-30, -13, 1, -0.1, 8), (-60, -4, 0.9, 0.35, 9), (-76, 4, 0.3, 1, 8), (-50, 12, 0.5, 0.9, 16),
         (-22, 8, 0.75, 0.7, 15), (2, 10, 0.8, 0.7, 13), (-12, 20, 0.5, 0.9, 14)],
        [(-16, 2, 16, 0.9), (-60, 3, 10, 0.5)])
    fur(canvas, skull, place, coat, seed + 2)
    if mouth:
        shape(canvas, [(-76, 9), (-60, 12), (-48, 15), (-58, 24), (-70, 24)], "#2a0f0d", place=place)
        tongue(canvas, place, -67, 17, 6, 17, 12)
    beard = Fur(
        [(-77, 7), (-82, 18), (-83, 34), (-80, 46, 1), (-73, 43), (-68, 52, 1), (-60, 45), (-54, 48, 1), (-44, 40),
         (-34, 38, 1), (-26, 30), (-14, 26), (-18, 16), (-36, 12), (-58, 9)],
        [(-76, 10, -0.12, 1, 17), (-79, 34, -0.05, 1, 14), (-58, 14, 0.12, 1, 20), (-58, 38, 0.15, 1, 16), (-38, 18, 0.4, 0.9, 19),
         (-22, 22, 0.6, 0.8, 15)],
        [(-66, 24, 12, 0.6)], width=1.15, density=1.15)
    if not mouth:
        fur(canvas, beard, place, coat, seed + 3)
    shape(canvas, [(-81, -5), (-75, -5.5), (-73, -1), (-75, 5), (-80, 7), (-85, 4), (-86, -1)], "#0a090a", place=place)
    oval(canvas, -81, -2.6, 3, 1.1, "#8f8f92", -8, place, 0.9)
    oval(canvas, -82.5, 2, 1.5, 1.7, "#000000", 0, place)
    eye(canvas, place, -41, 1.0, 3.9, coat, (-0.25, 0), shut)
    brow = Fur(
        [(-28, -15), (-38, -18), (-50, -16), (-60, -9), (-66, 2, 1), (-58, -2), (-50, -6), (-43, -7.5), (-36, -7), (-29, -9)],
        [(-32, -14, -0.95, -0.05, 12), (-46, -13, -0.95, 0.25, 13), (-58, -5, -0.65, 0.75, 12), (-36, -9, -0.98, 0.1, 8)],
        tone=0.12, width=0.95, density=1.7)
    fur(canvas, brow, place, coat, seed + 4)
    near = ear_fur((-22, -7), (-13, -50), (2, -2), 0.05)
    fur(canvas, near, place, coat, seed + 5)
    inner = [(-19, -9), (-16.5, -26), (-13, -42, 1), (-8.5, -26), (-7, -11)]
    shape(canvas, inner, mix(COATS[coat][3], SKIN, 0.35), 0.5, place)
    tuft = Fur([(-23, -4), (-19, -20), (-12, -24), (-6, -16), (0, -1), (-12, 4)],
               [(-18, -6, 0.15, -1, 13), (-6, -6, 0.1, -1, 11), (-12, 2, 0.3, -0.9, 9)], tone=0.05, density=0.9)
    fur(canvas, tuft, place, coat, seed + 6)


def puppy_profile(canvas, place, coat, seed, age, shut):
    """The rounder head of a puppy: short muzzle, and ears that have not made up their minds."""
    small = age == "three"
    if not small:
        fur(canvas, ear_fur((-27, -13), (-24, -38), (-12, -16), -0.35), place, coat, seed + 1)
    skull = Fur(
        [(8, 12), (8, -6), (-3, -19), (-20, -23), (-35, -19), (-42, -9), (-52, -5), (-61, -4), (-66, 3), (-62, 12),
         (-50, 18), (-34, 23), (-16, 28), (2, 26)],
        [(-4, -16, 1, 0.3, 7), (-30, -18, 1, -0.3, 6), (-52, -2, 0.8, 0.5, 7), (-62, 8, 0.2, 1, 10), (-46, 14, 0.3, 1, 12),
         (-20, 8, 0.7, 0.7, 11), (4, 10, 0.8, 0.6, 11), (-12, 22, 0.4, 0.9, 12)],
        [(-16, -4, 20, 1.2), (-52, 5, 10, 0.6)])
    fur(canvas, skull, place, coat, seed + 2)
    if not small:
        beard = Fur([(-63, 8), (-66, 18), (-62, 27, 1), (-54, 25), (-48, 30, 1), (-38, 26), (-28, 27), (-26, 16), (-46, 10)],
                    [(-62, 12, -0.1, 1, 10), (-48, 16, 0.15, 1, 11), (-32, 20, 0.4, 0.9, 11)], density=1.2)
        fur(canvas, beard, place, coat, seed + 3)
    shape(canvas, [(-66, -4), (-60, -5), (-58, 0), (-60, 5), (-65, 7), (-70, 4), (-71, -1)], "#0a090a", place=place)
    oval(canvas, -66, -2, 2.6, 1.0, "#8f8f92", -8, place, 0.9)
    eye(canvas, place, -38, -0.5, 4.0 if not small else 3.6, coat, (-0.2, 0), shut)
    brow = Fur([(-27, -13), (-36, -16), (-46, -12), (-53, -3, 1), (-46, -5), (-40, -6), (-32, -5)],
               [(-31, -12, -0.9, 0.1, 8), (-44, -9, -0.7, 0.6, 8)], tone=0.15, width=0.85, density=1.5)
    if not shut and not small:
        fur(canvas, brow, place, coat, seed + 4)
    if small:
        flap = Fur([(-20, -16), (-4, -15), (4, -4), (2, 12), (-6, 19, 1), (-15, 10), (-20, -2)],
                   [(-10, -14, 0, 1, 8), (-8, 6, 0, 1, 8)], [(-8, -6, 8, 1.0)], tone=-0.3, density=1.4)
        fur(canvas, flap, place, coat, seed + 5)
        return
    # Half up: the foot of the ear stands, its tip still folds forward.
    stand = Fur([(-23, -12), (-24, -28), (-17, -38), (-6, -34), (1, -18), (3, -4), (-10, -4)],
                [(-20, -12, -0.05, -1, 8), (-4, -10, -0.1, -1, 8), (-14, -34, -0.6, -0.5, 5)], tone=-0.1)
    fur(canvas, stand, place, coat, seed + 5)
    fold = Fur([(-20, -38), (-9, -38), (-7, -33), (-16, -27), (-27, -18, 1), (-27, -28)],
               [(-12, -36, -0.6, 0.6, 6), (-24, -25, -0.4, 0.9, 5)], tone=0.12, density=1.4)
    fur(canvas, fold, place, coat, seed + 6)


def head_front(canvas, place, coat, seed, age="adult", shut=False, mouth=False):
    """A head from in front; the origin lies between the eyes."""
    if age == "adult":
        return adult_front(canvas, place, coat, seed, mouth)
    return puppy_front(canvas, place, coat, seed, age, shut, mouth)


def both(points):
    """Mirror a list of guides `(x, y, dx, dy, length)` to the other side as well."""
    return list(points) + [(-x, y, -dx, dy, n) for x, y, dx, dy, n in points]


def mirrored(points):
    """A closed outline from its left half, listed from the top middle to the bottom middle."""
    return list(points) + [(-p[0],) + tuple(p[1:]) for p in reversed(points)]


def adult_front(canvas, place, coat, seed, mouth):
    for side in (1, -1):
        here = place @ Place.at(flip=side < 0)
        fur(canvas, ear_fur((-26, -14), (-25, -64), (-6, -25), -0.05), here, coat, seed + 1 + side)
        shape(canvas, [(-22, -20), (-24, -38), (-24, -55, 1), (-15, -38), (-11, -25)],
              mix(COATS[coat][2], SKIN, 0.4), 0.7, here)
        tuft = Fur([(-27, -10), (-25, -28), (-20, -32), (-14, -30), (-6, -22), (-14, -12)],
                   [(-23, -16, -0.05, -1, 12), (-12, -20, 0.0, -1, 10)], tone=0.0, density=0.7)
        fur(canvas, tuft, here, coat, seed + 3 + side)
    skull = Fur(mirrored([(-6, -28), (-17, -27), (-24, -20), (-25, -6), (-27, 8), (-31, 22), (-30, 40), (-12, 50)]),
                both([(-4, -22, -0.2, -1, 5), (-18, -20, -0.4, -0.9, 5), (-23, -4, -0.45, 0.9, 6), (-27, 20, -0.4, 0.9, 13),
                      (-12, 10, -0.7, 0.7, 7), (-3, 4, -0.4, 0.8, 4)]),
                [(0, -16, 16, 0.9)])
    fur(canvas, skull, place, coat, seed + 5)
    for side in (1, -1):
        here = place @ Place.at(flip=side < 0)
        socket = Fur([(-3, -6), (-12, -8), (-22, -4), (-24, 6), (-14, 9), (-5, 8)],
                     [(-8, 0, -0.7, 0.6, 5), (-20, 2, -0.6, 0.8, 6)], tone=-0.45, density=1.3, width=0.8)
        fur(canvas, socket, here, coat, seed + 20 + side)
    beard = Fur(mirrored([(-4, 6), (-10, 7), (-18, 15), (-30, 25), (-37, 40), (-37, 54), (-34, 66, 1), (-27, 65), (-22, 76, 1),
                          (-14, 72), (-8, 81, 1), (-2, 76)]),
                both([(-5, 10, -0.8, 0.6, 7), (-14, 16, -0.75, 0.65, 13), (-26, 28, -0.5, 0.9, 20), (-34, 50, -0.2, 1, 18),
                      (-12, 42, -0.22, 1, 21), (-12, 62, -0.1, 1, 18), (-1, 52, -0.05, 1, 18)]),
                [(-17, 34, 15, 1.1), (17, 34, 15, 1.1), (0, 10, 9, 1.0)], width=1.15, density=1.1)
    fur(canvas, beard, place, coat, seed + 6)
    if mouth:
        shape(canvas, [(-12, 38), (0, 36), (12, 38), (7, 48), (0, 51), (-7, 48)], "#2a0f0d", place=place)
        tongue(canvas, place, 0, 42, 6.5, 19)
    else:
        under = Fur(mirrored([(-2, 31), (-7, 34), (-12, 36), (-8, 40), (-2, 41)]),
                    both([(-6, 35, -0.3, 1, 7)]), tone=-0.45, density=1.2, width=0.8)
        fur(canvas, under, place, coat, seed + 7)
    nose_front(canvas, place, 0, 21, 10, 8.5)
    for side in (1, -1):
        here = place @ Place.at(flip=side < 0)
        eye(canvas, place, -11.5 * side, 1.8, 4.1, coat, (0.0, -0.05))
        brow = Fur([(-2, -9), (-7, -17), (-18, -19), (-27, -12), (-34, 2), (-36, 13, 1), (-29, 7), (-23, -3), (-14, -8), (-7, -7)],
                   [(-5, -11, -0.9, 0.1, 8), (-15, -14, -0.95, 0.2, 11), (-25, -7, -0.7, 0.75, 13), (-32, 4, -0.3, 1, 9)],
                   tone=0.28, width=0.95, density=1.6)
        fur(canvas, brow, here, coat, seed + 8 + side)


def puppy_front(canvas, place, coat, seed, age, shut, mouth):
    small = age == "three"
    for side in (1, -1):
        here = place @ Place.at(flip=side < 0)
        if small:
            continue
        up = side > 0
        if up:
            fur(canvas, ear_fur((-30, -12), (-31, -52), (-8, -26), -0.1, 8), here, coat, seed + 1)
            shape(canvas, [(-25, -18), (-28, -34), (-28, -44, 1), (-19, -32), (-14, -24)],
                  mix(COATS[coat][2], SKIN, 0.45), 0.6, here)
        else:
            stand = Fur([(-31, -10), (-34, -28), (-30, -42), (-19, -44), (-10, -28), (-14, -14)],
                        [(-26, -14, -0.1, -1, 9), (-14, -20, -0.1, -1, 8), (-24, -38, -0.3, -0.8, 5)], tone=-0.2)
            fur(canvas, stand, here, coat, seed + 2)
            fold = Fur([(-31, -41), (-19, -45), (-14, -38), (-22, -30), (-34, -20, 1), (-37, -32)],
                       [(-22, -42, -0.4, 0.9, 7), (-32, -28, -0.3, 1, 6)], tone=0.12, density=1.4)
            fur(canvas, fold, here, coat, seed + 3)
    skull = Fur(mirrored([(-6, -33), (-20, -31), (-32, -20), (-36, -3), (-37, 14), (-34, 30), (-24, 42), (-8, 47)]),
                both([(-4, -26, -0.2, -1, 6), (-22, -22, -0.6, -0.6, 8), (-32, 0, -0.8, 0.5, 11), (-32, 22, -0.6, 0.8, 13),
                      (-12, 10, -0.7, 0.7, 7), (-3, 0, -0.3, -0.9, 4), (-10, 38, -0.2, 1, 12)]),
                [(0, -14, 26, 1.2)])
    fur(canvas, skull, place, coat, seed + 5)
    if small:
        for side in (1, -1):
            here = place @ Place.at(flip=side < 0)
            flap = Fur([(-20, -28), (-32, -26), (-42, -12), (-46, 6), (-40, 16, 1), (-34, 8), (-30, -8)],
                       [(-28, -24, -0.5, 0.8, 7), (-40, 2, -0.1, 1, 7)], [(-36, -12, 8, 0.6)], tone=-0.12)
            fur(canvas, flap, here, coat, seed + 3 + side)
    muzzle = Fur(mirrored([(-4, 8), (-11, 9), (-20, 16), (-26, 27), (-26, 38), (-20, 46), (-14, 52, 1), (-7, 51), (-2, 55)]),
                 both([(-5, 10, -0.8, 0.6, 5), (-14, 17, -0.75, 0.65, 9), (-22, 30, -0.4, 0.9, 11), (-8, 36, -0.15, 1, 11),
                       (-1, 46, -0.03, 1, 11)]),
                 [(-11, 26, 11, 0.9), (11, 26, 11, 0.9)], tone=0.05, density=1.2)
    fur(canvas, muzzle, place, coat, seed + 6)
    line(canvas, [(0, 26), (0, 32), (-5, 36), (-11, 35)], "#070606", place.unit * 1.2, place)
    line(canvas, [(0, 32), (5, 36), (11, 35)], "#070606", place.unit * 1.2, place)
    if mouth:
        tongue(canvas, place, 1, 35, 5, 11)
    nose_front(canvas, place, 0, 19, 9, 7.5)
    for side in (1, -1):
        here = place @ Place.at(flip=side < 0)
        eye(canvas, place, -15 * side, 1.5, 5.0 if not small else 4.4, coat, (0.0, -0.05), shut)
        if not small:
            brow = Fur([(-4, -7), (-10, -13), (-20, -14), (-29, -7), (-33, 5, 1), (-27, -1), (-19, -5), (-10, -4)],
                       [(-7, -8, -0.8, 0.1, 7), (-18, -10, -0.9, 0.3, 9), (-28, -2, -0.5, 0.9, 8)], tone=0.15, width=0.85, density=1.4)
            fur(canvas, brow, here, coat, seed + 8 + side)


# ---------------------------------------------------------------- ribbons

def ribbon_band(canvas, place, ends, sag, width, colour):
    """A ribbon seen across a neck, from one end to the other, hanging by `sag`."""
    (x0, y0), (x1, y1) = ends
    mx, my = (x0 + x1) / 2 + sag[0], (y0 + y1) / 2 + sag[1]
    nx, ny = y1 - y0, x0 - x1
    n = math.hypot(nx, ny) or 1
    nx, ny = nx / n * width / 2, ny / n * width / 2
    mid = smooth([(x0, y0), (mx, my), (x1, y1)], False)
    pts = np.vstack([mid + (nx, ny), (mid - (nx, ny))[::-1]])
    unit = place.unit
    shape(canvas, pts, RIBBONS[colour], 1, place, False, mix(RIBBONS[colour], INK, 0.62), max(1.5, unit * 0.55))
    line(canvas, mid + np.array((nx, ny)) * 0.45, mix(RIBBONS[colour], CREAM, 0.5), unit * 0.8, place, 0.8, False)
    line(canvas, mid - np.array((nx, ny)) * 0.5, mix(RIBBONS[colour], INK, 0.4), unit * 0.7, place, 0.7, False)


def bow(canvas, place, x, y, size, colour, turn=0.0):
    """A tied bow with two tails."""
    here = place @ Place.at(x, y, size / 10, turn)
    base, dark, pale = RIBBONS[colour], mix(RIBBONS[colour], INK, 0.62), mix(RIBBONS[colour], CREAM, 0.45)
    w = max(1.5, here.unit * 0.6)
    for side in (1, -1):
        half = here @ Place.at(flip=side < 0)
        shape(canvas, [(0, 0), (-5, 5), (-9, 14, 1), (-5, 13), (-2, 15, 1), (1, 4)], mix(base, INK, 0.15), 1, half, edge=dark, edge_width=w)
        shape(canvas, [(0, 0), (-6, -6), (-13, -5), (-14, 1), (-11, 5), (-5, 3)], base, 1, half, edge=dark, edge_width=w)
        line(canvas, [(-3, -1), (-8, -3), (-11.5, -2)], pale, w * 1.1, half, 0.9)
        line(canvas, [(-2, 0.8), (-6, 1.5)], dark, w, half)
    oval(canvas, 0, 0.3, 3, 3.3, base, 0, here, edge=dark, edge_width=w)


# ---------------------------------------------------------------- bodies

def leg(top, foot, w0, w1, tone=0.0, hair=9, paw=7, knee=0.0):
    """A leg from hip or shoulder to the ground; `knee` bows it backwards."""
    (x0, y0), (x1, y1) = top, foot
    kx, ky = (x0 + x1) / 2 + knee, (y0 + y1) / 2
    pts = [(x0 - w0, y0), (kx - (w0 + w1) / 2, ky), (x1 - w1, y1 - 8), (x1 - w1 - paw, y1 - 3), (x1 - w1 - paw + 1, y1 + 1),
           (x1, y1 + 1.5), (x1 + w1, y1 + 0.5), (x1 + w1, y1 - 7), (kx + (w0 + w1) / 2, ky), (x0 + w0, y0)]
    dx, dy = x1 - x0, y1 - y0
    return Fur(pts, [(x0, y0, dx, dy, hair), (kx, ky, dx, dy, hair), (x1, y1 - 8, dx * 0.4 - 2, abs(dy), hair * 0.55),
                     (x1 - w1 - paw, y1 - 2, -0.6, 0.6, 3)], [(x1 - w1, y1 - 3, 6, 0.4)], tone=tone)


def claws(canvas, place, x, y, colour="#1a1512"):
    for i in range(3):
        line(canvas, [(x + i * 4.2, y - 2.5), (x + i * 4.2 - 1.4, y + 0.6)], colour, place.unit * 1.1, place)


def cast_shadow(canvas, place, x0, x1, y=0.0, deep=7, alpha=0.35, colour=INK):
    """The shadow that keeps a dog on the ground."""
    cx, rx = (x0 + x1) / 2, (x1 - x0) / 2
    oval(canvas, cx, y, rx, deep, colour, 0, place, alpha * 0.55)
    oval(canvas, cx, y - 0.5, rx * 0.86, deep * 0.55, colour, 0, place, alpha * 0.7)


def put_head(canvas, place, view, x, y, coat, seed, age, size=1.0, turn=0.0, shut=False, mouth=False):
    """The head that belongs to that age, seen in that view, on its neck."""
    here = place @ Place.at(x, y, size, turn)
    draw = {"profile": head_profile, "front": head_front}[view]
    draw(canvas, here, coat, seed + 50, age, shut, mouth)


def stand(canvas, place, coat, seed, age="adult", ribbon=None, view="profile", turn=0.0, stride=0.0, shut=False, mouth=False, tail=0.0):
    """A dog on its feet, looking left; `stride` opens the legs, `tail` wags it (degrees)."""
    if age != "adult":
        return puppy_stand(canvas, place, coat, seed, age, ribbon, view, turn, stride, shut, mouth, tail)
    cast_shadow(canvas, place, -66, 70, 0)
    s = stride
    fur(canvas, leg((-26, -46), (-26 + 14 * s, 0), 12, 9, -0.4), place, coat, seed + 1)
    fur(canvas, leg((36, -50), (32 - 16 * s, 0), 14, 9, -0.4, knee=6), place, coat, seed + 2)
    tail_here = place @ Place.at(52, -94, 1, tail)
    fur(canvas, Fur([(-11, 6), (-8, -20), (-3, -46), (2, -58, 1), (7, -44), (11, -20), (11, 6)],
                    [(-6, 0, 0, -1, 8), (8, 0, 0.4, -0.9, 10), (2, -44, 0.1, -1, 4)], [(0, -20, 8, 0.4)]), tail_here, coat, seed + 3)
    fur(canvas, leg((-42, -52), (-43 - 16 * s, 0), 13, 10, 0.05, 11), place, coat, seed + 4)
    claws(canvas, place, -60 - 16 * s, 0)
    fur(canvas, leg((46, -56), (45 + 16 * s, 0), 17, 10, 0.05, 11, knee=5), place, coat, seed + 5)
    claws(canvas, place, 28 + 16 * s, 0)
    torso = Fur(
        [(-20, -146), (-8, -124), (2, -108), (22, -103), (44, -102), (58, -92), (65, -72), (63, -50), (57, -38), (46, -36),
         (30, -34), (12, -28), (-6, -25), (-24, -25), (-40, -29), (-56, -38), (-64, -54), (-66, -74), (-62, -98), (-56, -118), (-46, -136)],
        [(-20, -130, 0.5, 0.85, 9), (-48, -112, 0.25, 1, 12), (2, -100, 0.9, 0.4, 8), (34, -97, 1, 0.2, 8), (60, -78, 0.3, 1, 10),
         (10, -70, 0.45, 0.9, 13), (-30, -80, 0.3, 0.95, 13), (-60, -64, 0.05, 1, 15), (0, -40, 0.12, 1, 15), (-40, -42, 0.0, 1, 14),
         (30, -46, 0.1, 1, 14), (54, -50, 0.15, 1, 12)],
        [(-34, -78, 26, 1.0), (44, -72, 24, 1.1), (6, -84, 26, 0.5)])
    fur(canvas, torso, place, coat, seed + 6)
    if ribbon:
        ribbon_band(canvas, place, ((-4, -118), (-60, -104)), (0, 10), 8, ribbon)
    if view == "front":
        put_head(canvas, place, view, -42, -140, coat, seed, age, 0.92, turn, mouth=mouth)
    else:
        put_head(canvas, place, view, -28, -138, coat, seed, age, 1.0, turn, shut=shut, mouth=mouth)


def puppy_stand(canvas, place, coat, seed, age, ribbon, view, turn, stride, shut, mouth, tail):
    small = age == "three"
    cast_shadow(canvas, place, -52, 58, 0, 6)
    s, low = stride, (10 if small else 0)
    fur(canvas, leg((-22, -34), (-20 + 12 * s, -1), 11, 9, -0.4, 6, 5), place, coat, seed + 1)
    fur(canvas, leg((30, -34), (27 - 14 * s, -1), 12, 9, -0.4, 6, 5, 4), place, coat, seed + 2)
    tail_here = place @ Place.at(44, -70 + low, 0.72 if small else 1, tail)
    fur(canvas, Fur([(-9, 8), (-7, -12), (-2, -28), (3, -34, 1), (7, -22), (10, -6), (11, 8)],
                    [(-6, 0, 0, -1, 6), (8, 0, 0.4, -0.9, 7), (2, -26, 0.1, -1, 3)], [(0, -12, 8, 0.4)]), tail_here, coat, seed + 3)
    fur(canvas, leg((-34, -40), (-36 - 13 * s - (6 if small else 0), 0), 13, 10, 0.05, 7, 6), place, coat, seed + 4)
    fur(canvas, leg((37, -40), (38 + 14 * s + (4 if small else 0), 0), 16, 10, 0.05, 7, 6, 4), place, coat, seed + 5)
    torso = Fur(
        [(-14, -112 + low), (-4, -92 + low), (8, -82 + low), (26, -80 + low), (42, -76 + low), (53, -62 + low), (56, -44), (52, -28), (38, -22),
         (18, -17), (-4, -16), (-26, -18), (-42, -26), (-50, -44), (-52, -62), (-50, -82 + low), (-40, -102 + low)],
        [(-14, -100, 0.5, 0.85, 7), (-42, -86, 0.2, 1, 8), (4, -80, 0.9, 0.4, 7), (36, -74, 0.9, 0.3, 7), (52, -56, 0.3, 1, 8),
         (8, -52, 0.5, 0.85, 10), (-24, -60, 0.3, 0.95, 10), (-48, -50, 0.05, 1, 10), (0, -26, 0.15, 1, 11), (30, -28, 0.1, 1, 10)],
        [(-24, -62, 24, 1.0), (36, -54, 22, 1.1), (4, -64, 24, 0.6)])
    fur(canvas, torso, place, coat, seed + 6)
    hx, hy = (-26, -108 + low)
    if ribbon:
        ribbon_band(canvas, place, ((5, -86 + low), (-51, -68 + low)), (-2, 15), 9, ribbon)
    if view == "front":
        put_head(canvas, place, view, -36, -106 + low, coat, seed, age, 0.92, turn, shut=shut, mouth=mouth)
    else:
        put_head(canvas, place, view, hx, hy, coat, seed, age, 1.0, turn, shut=shut)
    if ribbon:
        bow(canvas, place, -28, -62 + low, 11, ribbon, 8)


def sit(canvas, place, coat, seed, age="adult", ribbon=None, view="profile", turn=0.0, shut=False, mouth=False, tail=0.0):
    """A dog sitting, its body looking left."""
    p = age != "adult"
    k = 0.78 if p else 1.0
    body = place @ Place.at(0, 0, k)
    hair = 0.75 if p else 1.0
    cast_shadow(canvas, body, -62, 64, 0)
    fur(canvas, leg((-26, -60), (-24, -1), 12, 9, -0.4, 8 * hair), body, coat, seed + 1)
    fur(canvas, Fur([(-8, 6), (-7, -16), (-1, -40 if p else -50, 1), (7, -16), (9, 6)], [(0, 0, 0, -1, 8 * hair), (0, -34, 0, -1, 4)]),
        body @ Place.at(48, -16, 1, 38 + tail), coat, seed + 2)
    torso = Fur(
        [(-14, -150), (0, -122), (16, -92), (34, -62), (48, -34), (52, -12), (44, 0), (10, 1), (-16, -4), (-36, -16), (-52, -44),
         (-60, -74), (-60, -100), (-52, -122), (-40, -142)],
        [(-12, -134, 0.5, 0.85, 9 * hair), (-48, -112, 0.15, 1, 12 * hair), (20, -84, 0.6, 0.8, 9 * hair), (44, -34, 0.4, 0.9, 10 * hair),
         (0, -76, 0.35, 0.95, 13 * hair), (-52, -70, 0.05, 1, 16 * hair), (-36, -30, 0.05, 1, 17 * hair), (20, -30, 0.3, 1, 12 * hair)],
        [(-30, -88, 26, 1.0), (20, -60, 24, 0.5)])
    fur(canvas, torso, body, coat, seed + 3)
    fur(canvas, leg((-40, -64), (-42, 0), 14, 10.5, 0.05, 11 * hair), body, coat, seed + 4)
    claws(canvas, body, -60, 0)
    haunch = Fur([(-6, -6), (-8, -26), (2, -46), (22, -54), (42, -42), (52, -18), (48, 0), (24, 2), (-10, 2), (-20, 0), (-20, -6), (-12, -8)],
                 [(4, -40, -0.3, 1, 10 * hair), (30, -46, 0.4, 0.9, 11 * hair), (20, -20, -0.1, 1, 12 * hair), (46, -14, 0.2, 1, 9 * hair), (-12, -2, -1, 0.2, 5)],
                 [(22, -28, 22, 1.1)], tone=0.05)
    fur(canvas, haunch, body, coat, seed + 5)
    claws(canvas, body, -19, 1)
    hx, hy = (-26 * k, -144 * k)
    if ribbon:
        ribbon_band(canvas, body, ((7, -112), (-60, -92)), (-2, 18), 10, ribbon)
    if view == "front":
        put_head(canvas, place, view, -30 * k, hy - (6 if p else 4), coat, seed, age, 0.95, turn, shut=shut, mouth=mouth)
    else:
        put_head(canvas, place, view, hx, hy, coat, seed, age, 1.0, turn, shut, mouth)
    if ribbon and p:
        bow(canvas, place, -24, -68 if view == "profile" else -58, 11, ribbon, 6)


def sit_front(canvas, place, coat, seed, age="adult", ribbon=None, turn=0.0, mouth=False, lean=0.0):
    """A dog sitting square to us."""
    p = age != "adult"
    k = 0.76 if p else 1.0
    body = place @ Place.at(0, 0, k)
    hair = 0.75 if p else 1.0
    cast_shadow(canvas, body, -66, 66, 0, 8)
    for side in (1, -1):
        here = body @ Place.at(flip=side < 0)
        fur(canvas, Fur([(-22, -50), (-44, -46), (-58, -24), (-60, -4), (-50, 2), (-30, 3), (-20, -6)],
                        [(-40, -38, -0.5, 0.8, 10 * hair), (-54, -14, -0.2, 1, 8 * hair), (-34, -8, -0.2, 1, 7 * hair)],
                        [(-42, -22, 16, 0.9)], tone=-0.12), here, coat, seed + 1 + side)
    torso = Fur(mirrored([(-10, -150), (-28, -136), (-42, -104), (-48, -72), (-44, -40), (-34, -18), (-10, -10)]),
                both([(-22, -130, -0.3, 1, 10 * hair), (-40, -84, -0.2, 1, 12 * hair), (-12, -90, -0.12, 1, 17 * hair),
                      (-36, -40, -0.05, 1, 13 * hair), (-8, -40, -0.05, 1, 16 * hair)]),
                [(-20, -80, 20, 0.6), (20, -80, 20, 0.6), (0, -90, 16, 0.6)])
    fur(canvas, torso, body, coat, seed + 4)
    for side in (1, -1):
        here = body @ Place.at(flip=side < 0)
        fur(canvas, Fur([(-30, -74), (-33, -40), (-32, -12), (-36, -3), (-30, 3), (-10, 3), (-6, -4), (-6, -40), (-8, -74)],
                        [(-20, -60, -0.05, 1, 13 * hair), (-20, -24, -0.02, 1, 10 * hair), (-20, -2, 0, 1, 3)],
                        [(-19, -30, 10, 0.6), (-19, -2, 9, 0.6)], tone=0.05), here, coat, seed + 6 + side)
        for i in range(3):
            line(canvas, [(-27 + i * 7, -0.5), (-27.5 + i * 7, 3.5)], COATS[coat][0], body.unit * 1.3, here)
    if ribbon:
        ribbon_band(canvas, body, ((-38, -116), (38, -116)), (0, 22), 10, ribbon)
    put_head(canvas, place, "front", lean, -150 * k - (4 if p else 0), coat, seed, age, 0.96, turn, mouth=mouth)
    if ribbon and p:
        bow(canvas, place, lean * 0.4, -64, 12, ribbon, 4)


def lie(canvas, place, coat, seed, age="adult", ribbon=None, view="profile", turn=0.0, shut=False, mouth=False, drop=0.0):
    """A dog lying with its chest on the ground, looking left; `drop` lowers its head towards the paws."""
    p = age != "adult"
    k = 0.8 if p else 1.0
    hair = 0.75 if p else 1.0
    body = place @ Place.at(0, 0, k)
    cast_shadow(canvas, body, -92, 76, 0, 7)
    fur(canvas, Fur([(-30, -22), (-60, -16), (-84, -10), (-94, -5), (-90, 1), (-60, 0), (-30, 0)],
                    [(-40, -14, -1, 0.3, 9 * hair), (-84, -6, -1, 0.2, 4)], tone=-0.4), body, coat, seed + 1)
    fur(canvas, Fur([(-8, 6), (-7, -18), (-1, -34 if p else -46, 1), (7, -18), (9, 6)], [(0, 0, 0, -1, 8 * hair), (0, -34, 0, -1, 4)]),
        body @ Place.at(64, -22, 1, 52), coat, seed + 2)
    torso = Fur(
        [(-14, -98 + drop * 0.85), (0, -78 + drop * 0.4), (14, -64 + drop * 0.1), (40, -60), (60, -48), (70, -26), (68, -4), (50, 1), (0, 2), (-40, 1), (-56, -14), (-62, -38 + drop * 0.3),
         (-58, -62 + drop * 0.6), (-46, -84 + drop * 0.85)],
        [(-10, -84, 0.5, 0.85, 9 * hair), (-48, -66, 0.1, 1, 12 * hair), (20, -58, 1, 0.3, 9 * hair), (60, -40, 0.5, 0.9, 10 * hair),
         (10, -36, 0.5, 0.9, 12 * hair), (-50, -34, 0.05, 1, 15 * hair), (0, -10, 0.2, 1, 12 * hair), (50, -10, 0.2, 1, 10 * hair)],
        [(-30, -50, 24, 1.0), (46, -32, 24, 1.1)])
    fur(canvas, torso, body, coat, seed + 3)
    fur(canvas, Fur([(20, -30), (36, -44), (56, -38), (66, -18), (58, 0), (30, 3), (6, 3), (4, -5), (18, -10)],
                    [(34, -36, 0.0, 1, 11 * hair), (56, -24, 0.3, 1, 10 * hair), (12, -1, -1, 0.2, 5)], [(42, -20, 18, 1.0)], tone=0.05), body, coat, seed + 4)
    fur(canvas, Fur([(-28, -40), (-50, -34), (-60, -16), (-84, -9), (-97, -6), (-98, 1), (-80, 3), (-40, 3), (-26, -8)],
                    [(-40, -30, -0.3, 1, 12 * hair), (-62, -8, -0.8, 0.6, 8 * hair), (-92, -2, -1, 0.2, 4)], [(-44, -18, 14, 0.8), (-90, -3, 7, 0.5)],
                    tone=0.05), body, coat, seed + 5)
    claws(canvas, body, -97, 0)
    if ribbon:
        ribbon_band(canvas, body, ((9, -70), (-60, -52)), (-2, 18), 10, ribbon)
    if view == "front":
        put_head(canvas, place, view, -34 * k, (drop - 96) * k - (4 if p else 0), coat, seed, age, 0.95, turn, shut=shut, mouth=mouth)
    else:
        put_head(canvas, place, view, -26 * k, (drop - 94) * k, coat, seed, age, 1.0, turn, shut, mouth)
    if ribbon and p:
        bow(canvas, place, -24, -37, 11, ribbon, 6)


def sleep(canvas, place, coat, seed, age="seven", ribbon=None):
    """A puppy asleep on its side of the bed, chin on the ground, looking left."""
    cast_shadow(canvas, place, -80, 62, 0, 7)
    torso = Fur(
        [(-40, -10), (-34, -32), (-14, -50), (12, -58), (38, -52), (56, -34), (60, -12), (50, 1), (0, 3), (-34, 2)],
        [(-24, -38, 0.6, 0.7, 8), (10, -50, 0.9, 0.3, 9), (46, -38, 0.6, 0.8, 9), (10, -24, 0.6, 0.8, 11), (50, -8, 0.2, 1, 8), (-20, -10, 0.5, 0.9, 9)],
        [(-6, -28, 24, 0.8), (36, -24, 22, 1.0)])
    fur(canvas, torso, place, coat, seed + 1)
    fur(canvas, Fur([(16, -24), (32, -36), (50, -28), (56, -8), (44, 2), (20, 4), (0, 4), (-2, -4), (12, -8)],
                    [(30, -28, 0, 1, 9), (48, -16, 0.3, 1, 8), (6, 0, -1, 0.2, 4)], [(36, -14, 16, 1.0)], tone=0.05), place, coat, seed + 2)
    fur(canvas, Fur([(48, -12), (60, -4), (56, 5), (36, 6), (20, 5, 1), (34, 0)], [(52, 0, -0.9, 0.4, 7), (30, 4, -1, 0.1, 5)]), place, coat, seed + 3)
    if ribbon:
        ribbon_band(canvas, place, ((-22, -46), (-38, -2)), (4, 2), 10, ribbon)
    put_head(canvas, place, "profile", -30, -24, coat, seed, age, 1.0, -6, shut=True)
    fur(canvas, Fur([(-20, -12), (-44, -8), (-66, -4), (-74, 1), (-68, 6), (-40, 6), (-18, 4)],
                    [(-26, -4, -1, 0.1, 7), (-66, 1, -1, 0.1, 4)], [(-68, 1, 6, 0.5)], tone=0.1), place, coat, seed + 4)
    if ribbon:
        bow(canvas, place, *((-10, -52) if age == "three" else (-28, -44)), 11, ribbon, -20)


def dig(canvas, place, coat, seed, age="seven", ribbon=None):
    """A puppy digging, rump in the air, nose in the hole, looking left."""
    fur(canvas, leg((30, -46), (26, 0), 13, 9, -0.4, 6, 5, 4), place, coat, seed + 1)
    fur(canvas, leg((-26, -30), (-40, 8), 10, 8, -0.4, 6, 5), place, coat, seed + 2)
    fur(canvas, Fur([(-9, 8), (-7, -12), (-2, -28), (3, -34, 1), (7, -22), (10, -6), (11, 8)],
                    [(-6, 0, 0, -1, 6), (8, 0, 0.4, -0.9, 7), (2, -26, 0.1, -1, 3)], [(0, -12, 8, 0.4)]), place @ Place.at(44, -84, 1.05, 14), coat, seed + 3)
    torso = Fur(
        [(-44, -46), (-24, -62), (4, -82), (30, -94), (48, -88), (57, -66), (55, -42), (42, -28), (16, -18), (-10, -6), (-34, 2), (-50, -10), (-54, -30)],
        [(-30, -50, 0.9, -0.2, 8), (10, -78, 0.95, -0.2, 8), (40, -84, 0.9, 0.3, 7), (52, -60, 0.2, 1, 9), (4, -44, 0.6, 0.8, 10),
         (-30, -24, 0.3, 0.95, 10), (0, -16, 0.2, 1, 11), (34, -38, 0.1, 1, 10)],
        [(-28, -32, 22, 1.0), (36, -62, 22, 1.1)])
    fur(canvas, leg((38, -48), (38, 0), 16, 10, 0.05, 7, 6, 4), place, coat, seed + 5)
    fur(canvas, torso, place, coat, seed + 4)
    fur(canvas, leg((-36, -26), (-58, 8), 12, 9, 0.05, 7, 6), place, coat, seed + 6)
    if ribbon:
        ribbon_band(canvas, place, ((-26, -62), (-54, -14)), (-4, 2), 10, ribbon)
    put_head(canvas, place, "profile", -42, -42, coat, seed, age, 1.0, -38)
    if ribbon:
        bow(canvas, place, -32, -58, 11, ribbon, -40)


def run(canvas, place, coat, seed, age="seven", ribbon=None, mouth=False):
    """A puppy at full tilt, all feet off the ground, looking left."""
    cast_shadow(canvas, place, -46, 56, 4, 5, 0.3)
    reach = Fur([(-28, -48), (-52, -42), (-74, -36), (-86, -30), (-86, -22), (-72, -19), (-52, -19), (-30, -22)],
                [(-40, -34, -1, 0.3, 7), (-80, -26, -1, 0.2, 4)], [(-80, -27, 7, 0.5)])
    push = Fur([(30, -54), (50, -48), (68, -36), (84, -22), (92, -13), (86, -7), (76, -9), (58, -19), (34, -24)],
               [(44, -38, 0.8, 0.6, 8), (80, -16, 0.7, 0.7, 4)], [(44, -38, 14, 0.8)])
    for piece, dx, dy in ((reach, 15, 9), (push, -16, 6)):
        far = Fur(piece.outline, piece.hair, piece.bumps, -0.4)
        fur(canvas, far, place @ Place.at(dx, dy), coat, seed + 20 + dx)
    fur(canvas, Fur([(-9, 8), (-7, -12), (-2, -28), (3, -34, 1), (7, -22), (10, -6), (11, 8)],
                    [(-6, 0, 0, -1, 6), (8, 0, 0.4, -0.9, 7), (2, -26, 0.1, -1, 3)], [(0, -12, 8, 0.4)]), place @ Place.at(44, -72, 1, 30), coat, seed + 3)
    torso = Fur(
        [(-14, -106), (-4, -88), (8, -80), (28, -80), (46, -74), (56, -58), (56, -40), (46, -28), (18, -22),
         (-8, -22), (-30, -26), (-46, -38), (-52, -58), (-50, -78), (-40, -98)],
        [(-14, -94, 0.6, 0.8, 7), (-42, -80, 0.3, 1, 8), (4, -78, 0.95, 0.2, 8), (36, -74, 0.95, 0.2, 8), (52, -56, 0.6, 0.8, 8),
         (8, -52, 0.75, 0.65, 10), (-24, -60, 0.5, 0.85, 10), (-48, -50, 0.3, 0.95, 10), (0, -28, 0.6, 0.8, 11), (30, -32, 0.6, 0.8, 10)],
        [(-24, -60, 24, 1.0), (36, -54, 22, 1.1)])
    fur(canvas, push, place, coat, seed + 5)
    claws(canvas, place @ Place.at(88, -8, 1, 200), 0, 0)
    fur(canvas, torso, place, coat, seed + 4)
    fur(canvas, reach, place, coat, seed + 6)
    claws(canvas, place @ Place.at(-86, -24, 1, 70), 0, 0)
    if ribbon:
        ribbon_band(canvas, place, ((5, -82), (-51, -64)), (-2, 15), 9, ribbon)
    put_head(canvas, place, "profile", -26, -104, coat, seed, age, 1.0, 4)
    if ribbon:
        bow(canvas, place, -28, -58, 11, ribbon, 24)


def newborn(canvas, place, coat, seed, ribbon=None, curl=0.0, mouth=False):
    """A puppy of the first days: a warm sausage with shut eyes, about 100 long, looking left.

    `curl` from 0 to 1 tucks the hindquarters under.
    """
    cast_shadow(canvas, place, -58, 58, 22, 7, 0.34)
    c = curl
    pad = mix("#d9a08c", COATS[coat][2], 0.25)

    def sleek(outline, hair, bumps=(), tone=0.0):
        return Fur(outline, hair, bumps, tone, 2.2, 0.62, True)

    def paw(x, y, turn):
        here = place @ Place.at(x, y, 0.8, turn)
        dark = mix(pad, INK, 0.5)
        for k in range(4):
            oval(canvas, -8.5 + abs(k - 1.5) * 1.1, -3.6 + k * 2.6, 3.4, 2.0, pad, 0, here, edge=dark, edge_width=max(1.0, here.unit * 0.45))
        shape(canvas, [(-6, -4), (0, -5.5), (8, -4), (8, 3), (2, 5), (-6, 5)], pad, place=here)

    paw(-30, 20, 8)
    fur(canvas, sleek([(-6, -5), (6, -5), (15, -2), (18, 2, 1), (12, 4), (-6, 6)], [(0, 0, 1, 0.1, 4)], tone=-0.15),
        place @ Place.at(52, 4 + c * 20, 1, 24 + c * 40), coat, seed + 1)
    fur(canvas, sleek(
        [(-34, -17), (-18, -23 - c * 3), (6, -27 - c * 6), (32, -24 - c * 2), (51, -10 + c * 8), (56, 6 + c * 13), (49, 20 + c * 14),
         (30, 24 + c * 8), (4, 23 + c * 2), (-20, 22), (-36, 17), (-42, 0)],
        [(-30, -12, 1, -0.1, 6), (0, -18, 1, 0, 7), (40, -10, 0.9, 0.4 + c * 0.5, 7), (0, 4, 0.95, 0.25, 7), (48, 10 + c * 10, 0.5, 0.8, 6),
         (-20, 14, 0.9, 0.4, 7)],
        [(-16, -4, 20, 1.0), (26, -4, 24, 1.6)]), place, coat, seed + 2)
    # The hind leg folds along the flank, the fore paw rows forward.
    paw(10, 24 + c * 6, -4)
    fur(canvas, sleek([(22, 0), (38, -4), (50, 6 + c * 6), (46, 19 + c * 9), (30, 25 + c * 8), (15, 27 + c * 6), (10, 22 + c * 3), (20, 16)],
                      [(34, 6, 0.2, 1, 7), (18, 22, -1, 0.2, 4)], [(36, 8, 13, 1.4)], 0.06), place, coat, seed + 3)
    if ribbon:
        ribbon_band(canvas, place, ((-26, -24), (-24, 20)), (5, 0), 7.5, ribbon)
    paw(-38, 23, 4)
    fur(canvas, sleek([(-20, 6), (-10, 10), (-14, 20), (-26, 26), (-36, 26), (-36, 20), (-28, 16)],
                      [(-18, 10, -0.4, 0.9, 6), (-34, 23, -1, 0.2, 4)], [(-18, 14, 8, 0.8)], 0.08), place, coat, seed + 4)
    head = place @ Place.at(-32, -4, 1.12, -6)
    newborn_head(canvas, head, coat, seed, sleek, mouth)
    if ribbon:
        bow(canvas, place, -19, -25, 7.5, ribbon, 10)


def newborn_head(canvas, head, coat, seed, sleek, mouth):
    """The domed head of a newborn, ears flat, eyes shut, a broad blunt muzzle."""
    fur(canvas, sleek(
        [(4, -12), (-3, -21), (-15, -24), (-26, -20), (-32, -12), (-37, -8), (-42, -4), (-43.5, 3), (-42, 10), (-36, 15.5), (-24, 18), (-8, 17),
         (4, 11), (8, -1)],
        [(0, -12, 1, 0, 6), (-20, -18, 1, -0.1, 6), (-34, -2, 0.95, -0.2, 4), (-20, 4, 0.95, 0.3, 6), (-40, 8, 0.5, 0.8, 4), (-10, 12, 0.8, 0.5, 6)],
        [(-14, -8, 18, 2.1), (-36, 5, 9, 1.3)], 0.04), head, coat, seed + 5)
    nose = mix("#26191a", SKIN, 0.12)
    shape(canvas, [(-44.5, -4.5), (-41, -5.5), (-39.5, -2), (-41, 2), (-45, 3.4), (-47, -0.5)], nose, place=head)
    oval(canvas, -43.8, -3.2, 1.7, 0.7, "#cdb8ae", -12, head, 0.85)
    oval(canvas, -44.6, 0.8, 0.8, 1.0, "#0a0606", 0, head)
    pink = mix("#c98577", COATS[coat][2], 0.3)
    if mouth:
        shape(canvas, [(-42, 6.5), (-35, 6), (-29, 9), (-31, 16), (-37, 18.5), (-42, 15)], "#b25d54", place=head, edge="#1a0d0c",
              edge_width=max(1.2, head.unit * 0.7))
        oval(canvas, -36.5, 14, 3.6, 2.6, "#e09a8b", 10, head)
    else:
        line(canvas, [(-43, 5), (-41, 8.6), (-35, 10.4), (-29, 8)], pink, head.unit * 1.8, head)
        line(canvas, [(-43, 5), (-41, 8.2), (-35, 9.7), (-28, 7)], "#080606", head.unit * 1.0, head)
    eye(canvas, head, -27.5, -4, 3.7, coat, shut=True)
    fur(canvas, sleek([(-7, -15), (-1, -16), (4, -11), (5.5, -3), (2.5, 4, 1), (-2, 1), (-5, -6)], [(-2, -12, 0.3, 1, 5), (1, 0, 0, 1, 5)],
                      [(-1, -7, 6, 1.2)], -0.22), head, coat, seed + 6)
    rim = [(-7, -15), (-5.5, -6), (-2.2, 1), (2.5, 4)]
    line(canvas, rim, "#070606" if coat != "wheaten" else COATS[coat][0], head.unit * 0.8, head, 0.8)
    line(canvas, [(x - 1.1, y + 0.5) for x, y in rim[:3]], COATS[coat][5], head.unit * 0.45, head, 0.55)


# ---------------------------------------------------------------- backgrounds

def brushed(canvas, points, colour, rng, angle=0.0, marks=160, vary=0.12, size=(180, 22), curved=False):
    """A flat of gouache: one colour, laid in strokes that do not quite agree."""
    pts = smooth(points) if curved else np.asarray([p[:2] for p in points], float)
    path = path_of(pts)
    canvas.drawPath(path, ink(colour))
    canvas.save()
    canvas.clipPath(path, skia.ClipOp.kIntersect, True)
    low, high = pts.min(0), pts.max(0)
    a = math.radians(angle)
    for _ in range(marks):
        x, y = rng.uniform(low, high)
        t = rng.normal(0, vary)
        tone = mix(colour, CREAM if t > 0 else INK, min(0.5, abs(t)))
        n = size[0] * rng.uniform(0.5, 1.4)
        turn = a + rng.normal(0, 0.06)
        blade(canvas, x - math.cos(turn) * n / 2, y - math.sin(turn) * n / 2, math.cos(turn) * n, math.sin(turn) * n,
              size[1] * rng.uniform(0.5, 1.4), rng.normal(0, 0.05), ink(tone, 0.5))
    canvas.restore()


def dabs(canvas, rng, count, box, colours, size, angle=(0, 360), slim=2.0, test=None, alpha=1.0):
    """Leaf-like touches of the brush in a box `(x0, y0, x1, y1)`, where `test(x, y)` allows."""
    x0, y0, x1, y1 = box
    paints = [ink(c, alpha) for c in colours]
    for _ in range(count):
        x, y = rng.uniform(x0, x1), rng.uniform(y0, y1)
        if test and not test(x, y):
            continue
        a = math.radians(rng.uniform(*angle))
        n = rng.uniform(*size)
        blade(canvas, x, y, math.cos(a) * n, math.sin(a) * n, n / slim * 2, rng.normal(0, 0.08), paints[rng.integers(len(paints))])


def grass(canvas, rng, x0, x1, y0, y1, count, colours, near=70, far=22):
    """Blades of grass from the far edge `y0` to the near edge `y1`, longer when nearer."""
    ys = np.sort(rng.uniform(0, 1, count) ** 0.8)
    paints = [ink(c) for c in colours]
    for t in ys:
        y = y0 + (y1 - y0) * t
        n = (far + (near - far) * t) * rng.uniform(0.5, 1.25)
        blade(canvas, rng.uniform(x0, x1), y, rng.normal(0, n * 0.3), -n, 3 + 6 * t, rng.normal(0, 0.16), paints[rng.integers(len(paints))])


GRASS = ["#55683d", "#66774a", "#7c8a55", "#8f9a62", "#44562f", "#a3ab74"]


def sky(sheet, top, low, horizon):
    """A sky that pales towards the horizon, with brushed clouds."""
    sheet.glow(low, np.ones((sheet.h, sheet.w), np.float32))
    sheet.glow(top, (1 - ramp(sheet, 0, horizon)) ** 1.3)
    rng = sheet.rng("clouds")

    def draw(c):
        for _ in range(9):
            x, y = rng.uniform(-100, sheet.w), rng.uniform(0, horizon * 0.8)
            for _ in range(16):
                oval(c, x + rng.normal(0, 110), y + rng.normal(0, 14), rng.uniform(50, 170), rng.uniform(6, 20), CREAM, rng.normal(0, 3), alpha=0.16)
    sheet.print(draw, 6, 40, 0.3)


def hills(sheet, lines):
    """Hills, far to near; each is `(colour, [(x, y), ...])`, x as a part of the width."""
    for colour, pts in lines:
        rng = sheet.rng("hill", colour, pts[0])

        def draw(c):
            top = [(x * sheet.w, y) for x, y in pts]
            edge = smooth([(-60, top[0][1])] + top + [(sheet.w + 60, top[-1][1])], False).tolist()
            brushed(c, edge + [(sheet.w + 60, sheet.h), (-60, sheet.h)], colour, rng, -4, 260, 0.09, (220, 16))
        sheet.print(draw, 4, 34, 0.12)


def meadow(sheet, top, bottom=None, count=2600, colours=GRASS, ground=None):
    """A lawn from the height `top` down."""
    bottom = bottom or sheet.h + 60
    rng = sheet.rng("meadow", top)

    def draw(c):
        edge = smooth([(-50, top + 8), (sheet.w * 0.3, top - 6), (sheet.w * 0.7, top + 6), (sheet.w + 50, top - 4)], False).tolist()
        brushed(c, edge + [(sheet.w + 50, sheet.h + 20), (-50, sheet.h + 20)], ground or mix(colours[1], colours[2], 0.4), rng, 0, 240, 0.12)
        grass(c, rng, -20, sheet.w + 20, top + 6, bottom, count, colours)
    sheet.print(draw, 2.5, 24, 0.1)


def fringe(sheet, y, height=70, count=420, colours=GRASS, x0=0, x1=None):
    """Grass in front of the dogs, so that they stand in it."""
    rng = sheet.rng("fringe", y, x0)

    def draw(c):
        grass(c, rng, x0, x1 or sheet.w, y - 10, y + height * 0.7, count, colours, height, height * 0.5)
    sheet.print(draw, 2, 20)


def dyke(canvas, rng, x0, x1, top, bottom, colour=STONE):
    """A dry-stone dyke: courses of rounded stones with a row of copes on top."""
    brushed(canvas, [(x0, top + 24), (x1, top + 24), (x1, bottom), (x0, bottom)], mix(colour, INK, 0.72), rng)
    y = top + 26
    while y < bottom:
        h = rng.uniform(34, 58)
        x = x0 - rng.uniform(0, 80)
        while x < x1:
            w = rng.uniform(60, 150)
            stone(canvas, rng, x + 3, y + 3, x + w - 3, y + h - 2, mix(colour, rng.choice([SLATE, CREAM, EARTH, MOSS_PALE]), rng.uniform(0.05, 0.35)))
            x += w
        y += h
    x = x0 - 20
    while x < x1:
        w = rng.uniform(34, 62)
        stone(canvas, rng, x, top - rng.uniform(8, 26), x + w - 2, top + 32, mix(colour, rng.choice([SLATE, CREAM, EARTH]), rng.uniform(0.05, 0.35)))
        x += w


def stone(canvas, rng, x0, y0, x1, y1, colour):
    j = lambda: rng.uniform(-5, 5)
    r = min(14, (x1 - x0) / 4, (y1 - y0) / 3)
    pts = [(x0 + r + j(), y0), ((x0 + x1) / 2, y0 + j()), (x1 - r + j(), y0), (x1, y0 + r), (x1 + j() * 0.4, y1 - r), (x1 - r, y1), ((x0 + x1) / 2, y1 + j() * 0.6),
           (x0 + r, y1), (x0 + j() * 0.4, y1 - r), (x0, y0 + r)]
    brushed(canvas, pts, colour, rng, rng.uniform(-12, 12), 7, 0.16, ((x1 - x0) * 0.6, 7), True)
    line(canvas, [(x0 + r, y0 + 4), ((x0 + x1) / 2, y0 + 4), (x1 - r, y0 + 5)], mix(colour, CREAM, 0.5), 3, alpha=0.7)


def whin(canvas, rng, cx, base, width, height, bloom=1.0):
    """A whin bush: spiky dark mounds, thick with yellow flowers towards the light."""
    lumps = []
    for _ in range(15):
        u = rng.uniform(-1, 1)
        r = rng.uniform(0.13, 0.22) * width
        lumps.append((cx + u * (width / 2 - r), base - rng.uniform(0.05, 1) * max(0.0, height * (1 - 0.55 * u * u) - r), r))
    lumps.sort(key=lambda p: p[1])
    for x, y, r in lumps:
        oval(canvas, x, y, r * 0.94, r * 0.9, "#2c3a25")
        shape(canvas, [(x - r * 0.9, y), (x + r * 0.9, y), (x + r * 0.8, max(y, base)), (x - r * 0.8, max(y, base))], "#2c3a25", 1, None, False)
        n = int(r * r / 42)
        for _ in range(n):
            a, d = rng.uniform(0, 2 * math.pi), math.sqrt(rng.uniform()) * r
            px, py = x + math.cos(a) * d, y + math.sin(a) * d * 0.95
            lean = math.radians(-90 + (px - x) / r * 62 + rng.normal(0, 14))
            k = rng.uniform(22, 46) * min(1.0, r / 80)
            blade(canvas, px, py, math.cos(lean) * k, math.sin(lean) * k, k * 0.22, rng.normal(0, 0.06),
                  ink(rng.choice(["#2b3923", "#43573a", "#566b45", "#3a4c30", "#6d8154"])))
        for _ in range(int(n * 0.85 * bloom)):
            a, d = rng.uniform(0, 2 * math.pi), math.sqrt(rng.uniform()) * r * 0.98
            px, py = x + math.cos(a) * d, y + math.sin(a) * d * 0.9
            if rng.uniform() < 0.42 + 0.5 * (py - y) / r or py > base:
                continue
            # A shoot carries three or four flowers, one above the other.
            lean = math.radians(-90 + (px - x) / r * 50)
            lit = (x - px) / r * 0.5 + (y - py) / r * 0.6
            for j in range(3):
                q = rng.uniform(5, 9) * min(1.0, r / 70)
                shade = mix(GORSE, CREAM, min(0.5, lit * 0.6)) if lit > 0 else mix(GORSE, "#96670f", min(0.7, -lit * 1.2))
                fx, fy = px + math.cos(lean) * j * q * 1.2 + rng.normal(0, 2.5), py + math.sin(lean) * j * q * 1.2
                oval(canvas, fx, fy, q, q * 0.74, shade, rng.uniform(0, 180))
                oval(canvas, fx + q * 0.3, fy + q * 0.25, q * 0.34, q * 0.22, "#a9760f")


def rowan(canvas, rng, x, base, height, spread, bare=False):
    """A rowan: leaning trunk, feathered leaves, clusters of red berries."""
    limbs = [((x, base), (x + 10, base - height * 0.45), 30)]
    tips = []
    for i in range(7):
        a = math.radians(-160 + i * 23 + rng.uniform(-8, 8))
        n = height * rng.uniform(0.4, 0.58)
        end = (x + 10 + math.cos(a) * n * spread, base - height * 0.42 + math.sin(a) * n)
        limbs.append(((x + 8, base - height * rng.uniform(0.34, 0.46)), end, 12))
        tips.append(end)
    for a, b, w in limbs:
        mid = ((a[0] + b[0]) / 2 + rng.uniform(-14, 14), (a[1] + b[1]) / 2 - 12)
        line(canvas, [a, mid, b], "#4b3b33", w)
        line(canvas, [(a[0] - w * 0.2, a[1]), (mid[0] - w * 0.2, mid[1]), b], "#7f6b5c", w * 0.25, alpha=0.8)
    if bare:
        for tx, ty in tips:
            for _ in range(9):
                f, a = rng.uniform(0.35, 1), math.radians(rng.uniform(-160, -20))
                px, py = x + 8 + (tx - x - 8) * f, base - height * 0.42 + (ty - base + height * 0.42) * f
                n = rng.uniform(40, 110)
                line(canvas, [(px, py), (px + math.cos(a) * n * 0.5, py + math.sin(a) * n * 0.55), (px + math.cos(a) * n * 0.8, py + math.sin(a) * n)], "#4b3b33", 5)
                if rng.uniform() < 0.35:
                    for _ in range(7):
                        oval(canvas, px + math.cos(a) * n * 0.8 + rng.normal(0, 8), py + math.sin(a) * n + 8 + rng.normal(0, 6), 6, 6, "#a83a2a")
                    oval(canvas, px + math.cos(a) * n * 0.8, py + math.sin(a) * n - 1, 15, 6, "#f6f3ec")
            line(canvas, [(x + 8, base - height * 0.44), ((x + tx) / 2 + 2, (base - height * 0.44 + ty) / 2 - 8), (tx, ty - 4)], "#f6f3ec", 5, alpha=0.9)
        return
    greens = ["#55683d", "#6f7f48", "#3f5232", "#8b9457", "#a08a44", "#b3743a"]
    for tx, ty in tips * int(2 + height / 160):
        cx, cy = tx + rng.normal(0, height * 0.13 * spread), ty + rng.normal(0, height * 0.1)
        for _ in range(9):
            lx, ly, a = cx + rng.normal(0, 50), cy + rng.normal(0, 38), rng.uniform(0, math.pi)
            col = greens[rng.integers(len(greens))]
            for k in range(-4, 5):
                px, py = lx + math.cos(a) * k * 7, ly + math.sin(a) * k * 7
                for s in (1, -1):
                    blade(canvas, px, py, math.cos(a + s * 1.1) * 19, math.sin(a + s * 1.1) * 19, 9, 0.05, ink(col))
    for tx, ty in tips * 2:
        cx, cy = tx + rng.normal(0, 55 * spread), ty + rng.normal(10, 45)
        for _ in range(17):
            px, py = cx + rng.normal(0, 15), cy + rng.normal(0, 11)
            oval(canvas, px, py, 7, 7, "#8e2f22")
            oval(canvas, px - 1, py - 1, 5.5, 5.5, "#c6452f")
            oval(canvas, px - 2.5, py - 2.5, 1.6, 1.6, "#f0b090")


def heather(canvas, rng, x0, x1, y0, y1, count, height=60):
    """Heather in flower: dark feet, purple spikes."""
    ys = np.sort(rng.uniform(y0, y1, count))
    for y in ys:
        t = (y - y0) / max(1, y1 - y0)
        n = height * (0.4 + 0.7 * t) * rng.uniform(0.6, 1.2)
        x, lean = rng.uniform(x0, x1), rng.normal(0, 0.25)
        blade(canvas, x, y, lean * n, -n, 5 + 4 * t, 0, ink(rng.choice(["#3f4a35", "#55603f"])))
        for k in np.linspace(0.35, 1, 5):
            r = (2.5 + 4 * t) * rng.uniform(0.7, 1.2)
            oval(canvas, x + lean * n * k + rng.normal(0, 3), y - n * k, r, r * 1.3, rng.choice([HEATHER, "#75527f", "#a585ad", "#c3a6c4"]))


def flags(sheet, top, colours=(STONE, "#a99d89", "#c5baa5", "#9b9487"), rows=7, vanish=0.5):
    """Flagstones from the skirting at `top` to the near edge, in perspective."""
    rng = sheet.rng("flags", top)

    def draw(c):
        brushed(c, [(-20, top), (sheet.w + 20, top), (sheet.w + 20, sheet.h + 20), (-20, sheet.h + 20)], "#5f574d", rng)
        edges = [top + (sheet.h - top + 40) * (i / rows) ** 1.7 for i in range(rows + 1)]
        vx, vy = sheet.w * vanish, top - (sheet.h - top) * 0.7
        at = lambda u, y: vx + (u - vx) * (y - vy) / (sheet.h - vy)
        for i in range(rows):
            y0, y1 = edges[i] + 2, edges[i + 1] - 2
            u = -1200 + rng.uniform(0, 200)
            while u < sheet.w + 1200:
                w = rng.uniform(260, 460)
                g = 4 + i * 0.6
                quad = [(at(u + g, y0), y0), (at(u + w - g, y0), y0), (at(u + w - g, y1), y1), (at(u + g, y1), y1)]
                brushed(c, quad, mix(rng.choice(colours), PAPER, rng.uniform(0, 0.25)), rng, rng.uniform(-6, 6), 26, 0.09, (130, 12))
                u += w
    sheet.print(draw, 3, 30, 0.12)


def boards(sheet, x0, y0, x1, y1, colour, width=110, upright=True):
    """Painted boards."""
    rng = sheet.rng("boards", x0, y0)

    def draw(c):
        brushed(c, [(x0, y0), (x1, y0), (x1, y1), (x0, y1)], mix(colour, INK, 0.4), rng)
        t = x0 if upright else y0
        while t < (x1 if upright else y1):
            tone = mix(colour, CREAM if rng.uniform() < 0.5 else INK, rng.uniform(0, 0.08))
            box = (t + 2, y0, t + width - 2, y1) if upright else (x0, t + 2, x1, t + width - 2)
            brushed(c, [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])], tone, rng, 90 if upright else 0, 34, 0.07, (260, 9))
            t += width
    sheet.print(draw, 2, 40, 0.1)


def wall(sheet, bottom, colour, vary=0.05):
    rng = sheet.rng("wall", bottom)
    sheet.print(lambda c: brushed(c, [(-20, -20), (sheet.w + 20, -20), (sheet.w + 20, bottom), (-20, bottom)], colour, rng, 35, 260, vary, (260, 44)), 3, 40, 0.03)


def stove(canvas, rng, place, colour="#3f5147"):
    """A range cooker: enamel, two lids, a brass rail with a towel, a low fire."""
    p = lambda pts: [tuple(q) for q in place.pts(pts)]
    u = place.unit
    brushed(canvas, p([(0, 0), (460, 0), (460, 330), (0, 330)]), colour, rng, 90, 120, 0.07, (150 * u, 16 * u))
    brushed(canvas, p([(-14, -26), (474, -26), (474, 4), (-14, 4)]), mix(colour, INK, 0.55), rng)
    for cx in (110, 350):
        oval(canvas, cx, -34, 92, 14, "#23272a", place=place)
        oval(canvas, cx - 6, -39, 80, 10, "#9aa0a0", place=place)
        oval(canvas, cx, -50, 16, 6, "#2a2a2a", place=place)
    for x0, y0, x1, y1 in ((24, 60, 150, 300), (170, 60, 296, 175), (170, 190, 296, 300), (316, 60, 440, 300)):
        shape(canvas, [(x0, y0), (x1, y0), (x1, y1), (x0, y1)], mix(colour, CREAM, 0.1), 1, place, False, mix(colour, INK, 0.6), 3 * u)
        line(canvas, [(x0 + 8, y0 + 8), (x1 - 8, y0 + 8)], mix(colour, CREAM, 0.45), 3 * u, place, 0.8, False)
        oval(canvas, x1 - 16, (y0 + y1) / 2, 5, 12, BRASS, place=place, edge=EARTH_DARK, edge_width=1.5)
    for i in range(4):
        line(canvas, [(190 + i * 24, 215), (190 + i * 24, 255)], "#f0a24a", 8 * u, place, 0.9, False)
        line(canvas, [(190 + i * 24, 222), (190 + i * 24, 250)], "#fbdc8a", 4 * u, place, 0.9, False)
    line(canvas, [(-6, 32), (466, 32)], "#7d5c1f", 11 * u, place, 1, False)
    line(canvas, [(-6, 30), (466, 30)], BRASS, 8 * u, place, 1, False)
    line(canvas, [(-2, 28), (462, 28)], BRASS_PALE, 2.5 * u, place, 1, False)
    towel(canvas, place, 330, 24, 90, 150)


def towel(canvas, place, x, y, w, h):
    shape(canvas, [(x, y), (x + w, y), (x + w + 4, y + h), (x + w * 0.5, y + h + 6), (x - 3, y + h)], CREAM, 1, place, False, mix(STONE_DARK, CREAM, 0.2), 2)
    for dy in (20, 30, h - 28, h - 18):
        line(canvas, [(x - 1, y + dy), (x + w + 1, y + dy)], BRICK, 4 * place.unit, place, 0.85, False)
    for dx in (0.3, 0.66):
        line(canvas, [(x + w * dx, y + 6), (x + w * dx - 3, y + h)], STONE, 2 * place.unit, place, 0.8, False)


def fleece(canvas, rng, points, colour, fleck=None, size=15, curved=True):
    """Vet bedding or a fleece: a soft field of little curls, sparsely flecked."""
    pts = smooth(points) if curved else np.asarray(points, float)
    path = path_of(pts)
    canvas.drawPath(path, ink(colour))
    low, high = pts.min(0), pts.max(0)
    canvas.save()
    canvas.clipPath(path, skia.ClipOp.kIntersect, True)
    n = int(np.prod(high - low) / (size * size) * 2.4)
    tones = [mix(colour, CREAM, t) for t in (0.15, 0.3, 0.5)] + [mix(colour, INK, t) for t in (0.07, 0.13, 0.2)]
    for _ in range(n):
        x, y = rng.uniform(low, high)
        a, k = rng.uniform(0, 6.28), size * rng.uniform(0.5, 1.1)
        blade(canvas, x, y, math.cos(a) * k, math.sin(a) * k, size * 0.36, rng.normal(0, 0.35), ink(tones[rng.integers(6)], 0.85))
    if fleck:
        step = size * 8
        for gy, y in enumerate(np.arange(low[1], high[1], step)):
            for x in np.arange(low[0] + (gy % 2) * step / 2, high[0], step):
                for _ in range(26):
                    a, d = rng.uniform(0, 6.28), rng.normal(0, size * 0.7)
                    blade(canvas, x + math.cos(a) * d, y + math.sin(a) * d, rng.normal(0, size * 0.4), rng.normal(0, size * 0.4), size * 0.34, 0.1,
                          ink(mix(fleck, CREAM, rng.uniform(0, 0.25)), 0.9))
    canvas.restore()


def plaid(canvas, rng, points, ground, bands, step=130, angle=0.0, curved=True):
    """A checked rug: bands `(offset, width, colour)` repeat both ways."""
    pts = smooth(points) if curved else np.asarray(points, float)
    path = path_of(pts)
    canvas.save()
    canvas.clipPath(path, skia.ClipOp.kIntersect, True)
    canvas.drawPath(path, ink(ground))
    low, high = pts.min(0), pts.max(0)
    mid, reach = (low + high) / 2, np.hypot(*(high - low))
    canvas.rotate(angle, float(mid[0]), float(mid[1]))
    for way in (0, 1):
        for t in np.arange(-reach / 2, reach / 2, step):
            for off, w, colour in bands:
                o = t + off
                q = [(mid[0] + o, mid[1] - reach), (mid[0] + o + w, mid[1] - reach), (mid[0] + o + w, mid[1] + reach), (mid[0] + o, mid[1] + reach)]
                if way:
                    q = [(mid[0] - reach, mid[1] + o), (mid[0] + reach, mid[1] + o), (mid[0] + reach, mid[1] + o + w), (mid[0] - reach, mid[1] + o + w)]
                shape(canvas, q, colour, 0.55, None, False)
    for _ in range(int(reach * 1.3)):
        x, y = rng.uniform(mid - reach / 2, mid + reach / 2)
        blade(canvas, x, y, 14, 14, 3, 0, ink(CREAM if rng.uniform() < 0.5 else INK, 0.16))
    canvas.restore()
    canvas.drawPath(path, ink(mix(ground, INK, 0.55), 1, 4))


TARTAN = [(0, 34, MOSS_DARK), (44, 10, BRASS), (64, 26, SLATE_DARK), (98, 5, CREAM)]


def planks(canvas, rng, points, colour, angle=0.0, marks=60):
    """A piece of timber: long grain and a knot or two."""
    brushed(canvas, points, colour, rng, angle, marks, 0.12, (260, 6))
    pts = np.asarray([p[:2] for p in points], float)
    canvas.drawPath(path_of(pts), ink(mix(colour, INK, 0.65), 1, 3.5))


# ---------------------------------------------------------------- props

def welly(canvas, place, colour="#4d6142"):
    """A rubber boot standing, toe to the left, about 200 high."""
    dark, pale = mix(colour, INK, 0.5), mix(colour, CREAM, 0.5)
    shape(canvas, [(-30, -200), (34, -200), (38, -120), (36, -40), (40, -6), (-60, -6), (-88, -10), (-86, -34), (-62, -48), (-34, -62), (-28, -120)],
          colour, 1, place, edge=dark, edge_width=3)
    shape(canvas, [(-90, -12), (-60, -10), (42, -10), (42, 2), (-86, 2)], dark, 1, place, False)
    oval(canvas, 2, -200, 33, 9, dark, 0, place)
    oval(canvas, 2, -199, 25, 5.5, "#1e221c", 0, place)
    line(canvas, [(-18, -180), (-16, -110), (-24, -64)], pale, place.unit * 6, place, 0.7)
    line(canvas, [(-30, -178), (36, -178)], dark, place.unit * 4, place, 1, False)
    shape(canvas, [(30, -172), (44, -170), (44, -140), (32, -142)], colour, 1, place, False, dark, 2.5)
    line(canvas, [(-78, -26), (-60, -36)], pale, place.unit * 5, place, 0.7)


def bowl(canvas, place, colour=SLATE):
    shape(canvas, [(-70, -36), (70, -36), (84, 0), (-84, 0)], colour, 1, place, False, mix(colour, INK, 0.6), 3)
    oval(canvas, 0, -36, 70, 14, mix(colour, INK, 0.35), 0, place, edge=mix(colour, INK, 0.6))
    oval(canvas, 0, -33, 58, 9, "#9fb3b4", 0, place)
    line(canvas, [(-62, -18), (62, -18)], CREAM, place.unit * 5, place, 0.6, False)


def ball(canvas, place, colour=BRICK, other=CREAM):
    oval(canvas, 0, 0, 38, 38, colour, 0, place, edge=mix(colour, INK, 0.6))
    shape(canvas, [(-37, -6), (0, -18), (37, -8), (37, 8), (0, -2), (-37, 10)], other, 1, place)
    oval(canvas, -14, -20, 9, 6, CREAM, -30, place, 0.7)
    shape(canvas, [(-26, 24), (0, 32), (26, 24), (14, 35), (-12, 36)], mix(colour, INK, 0.35), 0.7, place)


def rope_toy(canvas, place):
    line(canvas, [(-70, 0), (-20, -12), (30, 6), (74, -4)], mix(BRASS, INK, 0.55), place.unit * 21, place)
    line(canvas, [(-70, 0), (-20, -12), (30, 6), (74, -4)], BRASS_PALE, place.unit * 15, place)
    for i in range(13):
        x = -64 + i * 11
        line(canvas, [(x - 4, -10), (x + 6, 8)], BRICK if i % 3 == 0 else mix(BRASS, INK, 0.4), place.unit * 3, place)
    for x, y in ((-62, -2), (66, -2)):
        oval(canvas, x, y, 15, 16, BRASS_PALE, 0, place, edge=mix(BRASS, INK, 0.55))
    for s in (-1, 1):
        for k in range(6):
            line(canvas, [(s * 76, -2), (s * 104, -16 + k * 6)], BRASS_PALE if k % 2 else BRASS, place.unit * 3.4, place)


def basket_back(canvas, rng, place, w=430, h=150):
    shape(canvas, ellipse(0, -h, w, 58), mix(BRASS, EARTH, 0.7), 1, place, False, EARTH_DARK, 4)
    shape(canvas, ellipse(0, -h + 6, w - 26, 44), EARTH_DARK, 1, place, False)


def basket_front(canvas, rng, place, w=430, h=150):
    """The front of a wicker basket, woven stroke by stroke."""
    rim = ellipse(0, -h, w, 58)[:21]
    low = ellipse(0, -18, w * 0.86, 44)[:21]
    shape(canvas, np.vstack([rim, low[::-1]]), mix(EARTH, INK, 0.35), 1, place, False, EARTH_DARK, 4)
    rows, cols = 9, 34
    for r in range(rows):
        for k in range(cols):
            t = (k + (r % 2) * 0.5) / cols * math.pi
            f = (r + 0.5) / rows
            cx = math.cos(t) * (w + (w * 0.86 - w) * f)
            cy = math.sin(t) * (58 + (44 - 58) * f) + (-h + (h - 18) * f)
            tone = mix(mix(BRASS, EARTH, rng.uniform(0.15, 0.6)), CREAM, 0.12 if cx < 0 else 0.0)
            oval(canvas, cx, cy, w * 0.05 * max(0.35, math.sin(t)), h * 0.052, tone, 10 - 20 * (k / cols), place)
    line(canvas, [tuple(q) for q in rim[::2]], EARTH_DARK, place.unit * 26, place)
    line(canvas, [tuple(q) for q in rim[::2]], mix(BRASS, EARTH, 0.4), place.unit * 19, place)
    for k in range(0, 41):
        t = k / 40 * math.pi
        x, y = math.cos(t) * w, -h + math.sin(t) * 58
        line(canvas, [(x - 7, y - 8), (x + 7, y + 8)], mix(BRASS_PALE, EARTH, 0.2), place.unit * 3.5, place)


def scales(canvas, rng, place):
    """Old kitchen scales: a pan on a column with a round dial; the pan's rim lies at y = -250."""
    body = "#8d3f31"
    shape(canvas, [(-130, 0), (-96, -170), (-60, -196), (60, -196), (96, -170), (130, 0)], body, 1, place, edge=mix(body, INK, 0.6), edge_width=4)
    shape(canvas, [(-140, -14), (140, -14), (146, 6), (-146, 6)], mix(body, INK, 0.35), 1, place, False)
    line(canvas, [(-92, -150), (-112, -40)], BRICK_PALE, place.unit * 7, place, 0.7)
    oval(canvas, 0, -96, 74, 74, BRASS, 0, place, edge=EARTH_DARK, edge_width=4)
    oval(canvas, 0, -96, 64, 64, CREAM, 0, place)
    for k in range(24):
        a = math.radians(k * 15 - 90)
        r0 = 48 if k % 6 == 0 else 54
        line(canvas, [(math.cos(a) * r0, -96 + math.sin(a) * r0), (math.cos(a) * 60, -96 + math.sin(a) * 60)], INK, place.unit * (4 if k % 6 == 0 else 2), place, 1, False)
    a = math.radians(-52)
    line(canvas, [(-math.cos(a) * 14, -96 - math.sin(a) * 14), (math.cos(a) * 50, -96 + math.sin(a) * 50)], BRICK, place.unit * 5, place, 1, False)
    oval(canvas, 0, -96, 7, 7, INK, 0, place)
    shape(canvas, [(-26, -196), (26, -196), (34, -222), (-34, -222)], BRASS, 1, place, False, EARTH_DARK, 3)


def pan_back(canvas, place):
    oval(canvas, 0, -252, 236, 40, mix(BRASS, INK, 0.25), 0, place, edge=EARTH_DARK, edge_width=4)
    oval(canvas, 0, -248, 218, 30, mix(BRASS, INK, 0.5), 0, place)


def pan_front(canvas, place):
    rim = ellipse(0, -252, 236, 40)[:21]
    shape(canvas, np.vstack([rim, [(-170, -232), (-90, -214), (0, -208), (90, -214), (170, -232)]]), BRASS, 1, place, True, EARTH_DARK, 4)
    line(canvas, [tuple(q) for q in (rim + (0, 4))[2:19]], BRASS_PALE, place.unit * 6, place, 0.9)
    line(canvas, [(-120, -216), (-40, -208)], BRASS_PALE, place.unit * 5, place, 0.6)


def flowerpot(canvas, rng, place, flowers=BRICK):
    shape(canvas, [(-52, -96), (52, -96), (40, 0), (-40, 0)], "#b56a48", 1, place, False, "#5d2f1f", 3)
    shape(canvas, [(-60, -112), (60, -112), (58, -84), (-58, -84)], "#c47b57", 1, place, False, "#5d2f1f", 3)
    line(canvas, [(-36, -78), (-30, -10)], "#dba184", place.unit * 7, place, 0.7)
    for _ in range(46):
        x, y = rng.normal(0, 44), -134 - abs(rng.normal(0, 40))
        oval(canvas, x, y, 22, 17, rng.choice([MOSS, MOSS_DARK, "#7c8a55"]), rng.uniform(0, 180), place)
    for _ in range(11):
        x, y = rng.normal(0, 46), -160 - abs(rng.normal(0, 42))
        for _ in range(8):
            oval(canvas, x + rng.normal(0, 9), y + rng.normal(0, 7), 8, 7, rng.choice([flowers, mix(flowers, CREAM, 0.3), mix(flowers, INK, 0.2)]), 0, place)


def bottle(canvas, place):
    """A hot-water bottle in a knitted cover."""
    knit = HEATHER
    pts = [(-150, -70), (-150, 70), (-120, 100), (110, 100), (140, 64), (146, 26), (190, 24), (200, 34), (222, 30), (222, -30), (200, -34), (190, -24), (146, -26),
           (140, -64), (110, -100), (-120, -100)]
    shape(canvas, pts, knit, 1, place, edge=mix(knit, INK, 0.6), edge_width=4)
    canvas.save()
    canvas.clipPath(path_of(place.pts(smooth(pts))), skia.ClipOp.kIntersect, True)
    for gx in np.arange(-140, 140, 17):
        for gy in np.arange(-86, 92, 15):
            tone = CREAM if int((gy + 86) / 15) in (3, 8) else mix(knit, CREAM, 0.28)
            line(canvas, [(gx, gy - 5), (gx + 6, gy + 4)], tone, place.unit * 4.6, place, 0.75)
            line(canvas, [(gx + 13, gy - 5), (gx + 7, gy + 4)], mix(tone, INK, 0.15), place.unit * 4.6, place, 0.75)
    canvas.restore()
    shape(canvas, [(190, -26), (226, -32), (226, 32), (190, 26)], BRICK, 1, place, edge=mix(BRICK, INK, 0.6))


def hand(canvas, place, sleeve=MOSS):
    """A hand reaching in from the right, palm down, fingers to the left."""
    skin, dark = SKIN, mix(SKIN, "#6d3a25", 0.7)
    for y, n in ((-34, 96), (-13, 112), (9, 108), (29, 86)):
        shape(canvas, [(20, y - 12), (-n * 0.5, y - 11), (-n, y - 8), (-n - 8, y), (-n, y + 8), (-n * 0.5, y + 11), (20, y + 12)], skin, 1, place, edge=dark, edge_width=2.5)
        shape(canvas, [(-n + 4, y - 6), (-n - 5, y - 1), (-n + 2, y + 4), (-n + 12, y)], mix(skin, CREAM, 0.5), 1, place)
    shape(canvas, [(0, -48), (60, -52), (130, -40), (180, -36), (180, 40), (120, 44), (50, 48), (0, 42), (-10, 0)], skin, 1, place, edge=dark, edge_width=2.5)
    shape(canvas, [(0, -40), (60, -46), (60, 42), (0, 36)], skin, 1, place)
    shape(canvas, [(70, 40), (30, 62), (-20, 74), (-34, 66), (-24, 56), (20, 42), (50, 24)], skin, 1, place, edge=dark, edge_width=2.5)
    for y in (-24, -2, 19):
        line(canvas, [(4, y), (-6, y)], dark, place.unit * 2, place, 0.6, False)
    shape(canvas, [(150, -60), (420, -76), (420, 84), (150, 62)], sleeve, 1, place, False, mix(sleeve, INK, 0.6), 3.5)
    for k in range(12):
        line(canvas, [(154 + k * 4, -58 if k % 2 else -59), (154 + k * 4, 60)], mix(sleeve, INK, 0.3), place.unit * 1.6, place, 0.6, False)


def bramble_spray(canvas, rng, points, count=12):
    """A bramble stem with leaves in threes and berries."""
    stem = smooth(points, False, 24)
    canvas.drawPath(path_of(stem, False), ink("#5b3a34", 1, 9))
    for i in np.linspace(4, len(stem) - 2, count).astype(int):
        x, y = stem[i]
        a = rng.uniform(0, 6.28)
        for k in (-0.7, 0, 0.7):
            n = rng.uniform(46, 74)
            lx, ly = x + math.cos(a + k) * n * 0.5, y + math.sin(a + k) * n * 0.5
            here = Place.at(lx, ly, n / 50, math.degrees(a + k))
            col = rng.choice([MOSS_DARK, MOSS, "#54683c", "#8a5a3a"])
            shape(canvas, [(-26, 0), (-12, -15), (8, -15), (30, 0, 1), (8, 15), (-12, 15)], col, 1, here, edge=mix(col, INK, 0.5), edge_width=2)
            line(canvas, [(-26, 0), (26, 0)], mix(col, CREAM, 0.45), 2.4, here, 0.9, False)
            for d in (-10, 2, 14):
                for s in (1, -1):
                    line(canvas, [(d - 6, 0), (d + 2, 9 * s)], mix(col, CREAM, 0.4), 1.5, here, 0.7, False)
    for i in np.linspace(8, len(stem) - 3, max(3, count // 2)).astype(int):
        x, y = stem[i] + rng.normal(0, 26, 2)
        berry = rng.choice(["#2a1d2c", "#3a2338", "#8f3240"], p=[0.5, 0.3, 0.2])
        for _ in range(20):
            px, py = x + rng.normal(0, 9), y + rng.normal(0, 11)
            oval(canvas, px, py, 6.5, 6.5, berry)
            oval(canvas, px - 2, py - 2, 1.8, 1.8, mix(berry, CREAM, 0.6))


def person_legs(canvas, rng, place, trousers=SLATE_DARK, boots=MOSS, coat=MOSS_DARK):
    """Somebody from the hem of a coat down, in wellies."""
    for dx in (-50, 50):
        here = place @ Place.at(dx)
        pts = [tuple(q) for q in here.pts([(-46, -760), (48, -760), (38, -180), (-34, -180)])]
        brushed(canvas, pts, trousers, rng, 88, 40, 0.12, (150, 9))
        canvas.drawPath(path_of(np.asarray(pts)), ink(mix(trousers, INK, 0.6), 1, 3))
        welly(canvas, here @ Place.at(0, 0, 1.05), boots)
    hem = [tuple(q) for q in place.pts(smooth([(-130, -980), (130, -980), (142, -470), (60, -448), (0, -458), (-60, -448), (-142, -470)]))]
    brushed(canvas, hem, coat, rng, 86, 60, 0.1, (190, 14))
    canvas.drawPath(path_of(np.asarray(hem)), ink(mix(coat, INK, 0.6), 1, 4))
    line(canvas, [(4, -980), (2, -458)], mix(coat, INK, 0.55), 4, place)
    for side in (-1, 1):
        shape(canvas, [(side * 34, -640), (side * 112, -650), (side * 118, -530), (side * 38, -522)], mix(coat, INK, 0.14), 1, place, False, mix(coat, INK, 0.5), 3)


# ---------------------------------------------------------------- the pictures

PICTURES = {}


def picture(path, width=1600, height=1200, **saving):
    """Register a picture: where it goes below content/, its size, how it is saved."""
    def keep(draw):
        PICTURES[path] = (draw, width, height, saving)
        return draw
    return keep


def evening(sheet, amount=0.35, colour=BRASS_PALE, cx=0.2, cy=0.1, reach=1.3):
    """A pool of warm light."""
    sheet.tint(SLATE_PALE, amount * 0.6 * (1 - radial(sheet, cx * sheet.w, cy * sheet.h, reach * sheet.w, reach * sheet.h)))
    sheet.glow(colour, amount * 0.5 * radial(sheet, cx * sheet.w, cy * sheet.h, reach * sheet.w, reach * sheet.h))


def vignette(sheet, amount=0.3, colour=STONE_DARK):
    sheet.tint(colour, amount * (1 - radial(sheet, sheet.w / 2, sheet.h / 2, sheet.w * 0.95, sheet.h * 0.95)))


# Dogs of the kennel.

@picture("dogs/juno.jpg", 1280, 1600)
def juno(s):
    sky(s, "#a9bcc2", "#efe3d0", 700)
    hills(s, [("#9d94ac", [(0, 560), (0.25, 480), (0.6, 590), (1, 500)]), ("#8f7b96", [(0, 720), (0.4, 690), (0.75, 620), (1, 690)]),
              ("#6d5f74", [(0, 850), (0.3, 880), (0.7, 820), (1, 870)])])
    rng = s.rng("heath")
    s.print(lambda c: heather(c, rng, -20, s.w + 20, 900, 1640, 900, 110), 2, 20, 0.08)
    s.print(lambda c: sit_front(c, Place.at(650, 2010, 8.1), "brindle", 11, turn=-3), 1.2, 16, 0, 0.03)
    rng2 = s.rng("near")
    s.print(lambda c: heather(c, rng2, -20, s.w + 20, 1560, 1720, 190, 190), 2, 20, 0.08)
    evening(s, 0.3)


@picture("dogs/corvin.jpg", gps=True)
def corvin(s):
    sky(s, "#8fa3ad", "#f0d9b0", 720)
    s.glow("#f6dfa2", 0.8 * radial(s, 1180, 560, 520, 330))
    hills(s, [("#a3a0b2", [(0, 610), (0.2, 540), (0.5, 620), (0.8, 560), (1, 600)]), ("#7f8694", [(0, 700), (0.35, 640), (0.7, 710), (1, 660)])])
    rng = s.rng("dyke")
    s.print(lambda c: dyke(c, rng, -20, 700, 690, 900), 2, 24, 0.08)
    meadow(s, 860)
    s.print(lambda c: stand(c, Place.at(860, 1090, 4.6, flip=False), "black", 5, stride=0.15), 1.2, 16, 0, 0.03)
    fringe(s, 1100, 80, 460)
    evening(s, 0.18, cx=0.75, cy=0.4)


@picture("dogs/tansy.jpg", 1200, 1600, sideways=True)
def tansy(s):
    boards(s, -10, -10, 1210, 1250, "#4a6a6a", 170)
    rng = s.rng("stones")
    flags(s, 1240, rows=4)

    def flowers(c, x0, x1, base, count):
        for _ in range(count):
            x, n = rng.uniform(x0, x1), rng.uniform(330, 640)
            lean = rng.normal(0, 40)
            line(c, [(x, base), (x + lean * 0.4, base - n * 0.6), (x + lean, base - n)], MOSS_DARK, 7)
            for k in np.linspace(0.15, 0.8, 9):
                for side in (1, -1):
                    blade(c, x + lean * k, base - n * k, side * rng.uniform(36, 70), -rng.uniform(5, 40), 13, side * 0.12, ink(rng.choice([MOSS, "#55703f", MOSS_PALE])))
            for _ in range(13):
                px, py = x + lean + rng.normal(0, 30), base - n + rng.normal(0, 17)
                oval(c, px, py, 15, 12, "#a8790f")
                oval(c, px - 1, py - 3, 13, 9, GORSE)
                oval(c, px - 4, py - 5, 4, 2.6, "#f8e08a")
    s.print(lambda c: flowers(c, 20, 330, 1400, 15), 2, 20, 0.05)
    s.print(lambda c: flowers(c, 900, 1180, 1400, 13), 2, 20, 0.05)
    s.print(lambda c: sit_front(c, Place.at(610, 1490, 5.5), "wheaten", 3, turn=3, mouth=True), 1.2, 16, 0, 0.03)
    vignette(s, 0.35)


@picture("dogs/bramble.jpg")
def bramble(s):
    sky(s, "#b9c4bd", "#efe4cc", 1300)
    hills(s, [("#9aa58b", [(0, 880), (0.3, 820), (0.7, 900), (1, 840)])])
    rng = s.rng("spray")
    s.print(lambda c: bramble_spray(c, rng, [(1640, 160), (1400, 330), (1330, 600), (1440, 900), (1330, 1240)], 15), 2, 20, 0.06)
    s.print(lambda c: bramble_spray(c, rng, [(-40, 1080), (180, 940), (260, 700), (140, 420), (200, 180), (90, -30)], 16), 2, 20, 0.06)

    def dog(c):
        sit(c, Place.at(620, 1790, 8.0, flip=True), "brindle", 8, turn=4)
    s.print(dog, 1.2, 16, 0, 0.03)
    s.print(lambda c: bramble_spray(c, rng, [(-40, 1010), (260, 1110), (560, 1080), (900, 1170), (1240, 1110), (1640, 1190)], 19), 2, 20, 0.06)
    evening(s, 0.25, cx=0.8)


@picture("dogs/sorrel.jpg")
def sorrel(s):
    wall(s, 760, "#dccdb4")
    boards(s, -10, 640, 1610, 770, "#8d6f56", 180)
    flags(s, 760)
    rng = s.rng("stove")
    s.print(lambda c: stove(c, rng, Place.at(900, 250, 1.6)), 1.6, 30, 0.06)

    def left(c):
        planks(c, s.rng("shelf"), [(60, 300), (640, 300), (640, 326), (60, 326)], EARTH)
        for x, h, col in ((130, 120, SLATE), (250, 90, BRICK), (360, 130, CREAM), (480, 100, MOSS), (580, 80, BRASS)):
            shape(c, [(x - 38, 300), (x - 42, 300 - h), (x + 42, 300 - h), (x + 38, 300)], col, 1, None, False, mix(col, INK, 0.6), 3)
            oval(c, x, 300 - h, 42, 9, mix(col, INK, 0.3), edge=mix(col, INK, 0.6))
            line(c, [(x - 26, 300 - h + 22), (x - 24, 285)], mix(col, CREAM, 0.6), 5, alpha=0.7)
    s.print(left, 1.6, 30, 0.06)
    rug = [(130, 1010), (500, 930), (1150, 935), (1480, 1010), (1400, 1130), (800, 1185), (220, 1130)]
    s.print(lambda c: plaid(c, rng, rug, BRICK, [(0, 44, "#7f2f22"), (60, 10, BRASS_PALE), (84, 20, SLATE_DARK)], 150, 12), 2, 24, 0.1)
    s.print(lambda c: lie(c, Place.at(800, 1085, 5.0), "black", 6, view="front", turn=-4), 1.2, 16, 0, 0.03)
    s.print(lambda c: bowl(c, Place.at(240, 950, 1.25), "#5d7f86"), 1.5, 20, 0.05)
    s.glow("#f3b65c", 0.33 * radial(s, 1290, 620, 700, 600))
    vignette(s, 0.35)


@picture("dogs/hawk.jpg")
def hawk(s):
    sky(s, "#8d9db0", "#f2d6bd", 640)
    s.glow("#f6c9a0", 0.5 * radial(s, 300, 560, 600, 260))
    hills(s, [("#b9bccb", [(0, 560), (0.3, 470), (0.6, 560), (1, 500)]), ("#cfd2d8", [(0, 660), (0.5, 620), (1, 690)])])
    rng = s.rng("snow")

    def ground(c):
        brushed(c, [(-20, 700), (400, 690), (1000, 712), (1640, 696), (1640, 1220), (-20, 1220)], "#e6e5e2", rng, 4, 420, 0.07, (260, 22))
        path = [(1010, 700), (1080, 700), (1010, 820), (1130, 960), (1330, 1220), (240, 1220), (500, 980), (880, 830)]
        brushed(c, path, "#c9ccd2", rng, 10, 160, 0.08, (170, 18), True)
        for i in range(11):
            y = 1190 - i * 44
            x = 640 + i * 34 + (26 if i % 2 else -26) * (1 - i / 14)
            oval(c, x, y, 26 - i * 1.7, 11 - i * 0.7, "#9aa2b0", -20)
    s.print(ground, 3, 30, 0.05)

    def wall_(c):
        dyke(c, rng, 1130, 1630, 610, 800, "#9a958f")
        for x in np.arange(1120, 1640, 44):
            oval(c, x + rng.uniform(-8, 8), 604 + rng.uniform(-5, 5), 38, 16, "#f6f3ec")
    s.print(wall_, 2, 24, 0.05)
    s.print(lambda c: rowan(c, s.rng("tree"), 240, 800, 660, 0.75, bare=True), 2, 20, 0.05)
    s.print(lambda c: stand(c, Place.at(760, 1090, 4.7, flip=True), "wheaten", 7, view="profile", stride=0.25), 1.2, 16, 0, 0.03)

    def flakes(c):
        for _ in range(330):
            r = rng.uniform(2, 8)
            oval(c, rng.uniform(0, s.w), rng.uniform(0, s.h), r, r, "#fdfaf3", alpha=rng.uniform(0.6, 1))
        for _ in range(60):
            oval(c, 760 + rng.choice([-230, -140, 110, 205]) + rng.normal(0, 26), 1096 + rng.normal(0, 6), rng.uniform(12, 30), rng.uniform(5, 10), "#f1efe9")
    s.print(flakes, 1.5, 12)


# The litter of autumn 2026: first days.

def bedding(s, colour, fleck, edge=EARTH):
    """The floor of the whelping box from above, with a rail along the back."""
    rng = s.rng("bedding")
    s.print(lambda c: fleece(c, rng, [(-20, -20), (s.w + 20, -20), (s.w + 20, s.h + 20), (-20, s.h + 20)], colour, fleck, 17, False), 1.5, 18)
    s.tint(STONE, 0.35 * np.clip(noise(s.w, s.h, 420, s.seed("folds"), 2), 0, 1))

    def rail(c):
        planks(c, rng, [(-20, -20), (s.w + 20, -20), (s.w + 20, 130), (-20, 150)], mix(edge, BRASS, 0.45))
        line(c, [(0, 158), (s.w, 138)], INK, 26, alpha=0.25, curved=False)
        planks(c, rng, [(-20, 60), (s.w + 20, 46), (s.w + 20, 96), (-20, 112)], mix(edge, BRASS_PALE, 0.6))
    s.print(rail, 2, 30, 0.06)


LITTER = "litters/autumn-2026/photos/"


@picture(LITTER + "box.jpg")
def box(s):
    bedding(s, "#b7a6bd", CREAM)

    def heap(c):
        newborn(c, Place.at(930, 430, 4.9, 8, flip=True), "black", 21, "red", 0.2)
        newborn(c, Place.at(700, 520, 4.9, -12), "brindle", 22, "purple", 0.3)
        newborn(c, Place.at(1030, 660, 4.9, -10, flip=True), "brindle", 23, "green", 0.5)
        newborn(c, Place.at(620, 740, 4.9, 8), "black", 24, "blue", 0.2)
        newborn(c, Place.at(880, 860, 4.0, -6), "brindle", 25, "yellow", 0.7)
    s.print(heap, 1.0, 16, 0, 0.03)
    evening(s, 0.28, cx=0.5, cy=0.4)
    vignette(s, 0.35)


@picture(LITTER + "fern-first-day.jpg")
def fern(s):
    bedding(s, "#c9b59a", BRICK_PALE)
    s.print(lambda c: stand(c, Place.at(1790, 1210, 6.6), "brindle", 11, turn=-24), 1.2, 16, 0, 0.03)
    s.tint(STONE_DARK, 0.5 * radial(s, 720, 980, 760, 150))
    s.print(lambda c: newborn(c, Place.at(690, 850, 6.9, -3), "brindle", 31, "green", 0.15), 1.1, 16, 0, 0.03)
    evening(s, 0.3)


@picture(LITTER + "reed-first-day.jpg")
def reed(s):
    rng = s.rng("towel")

    def cloth(c):
        fleece(c, rng, [(-20, -20), (1620, -20), (1620, 1220), (-20, 1220)], "#e6dcc6", None, 13, False)
        for y, w, col in ((860, 70, SLATE), (960, 22, SLATE), (1010, 22, BRICK)):
            brushed(c, [(-20, y), (1620, y - 60), (1620, y - 60 + w), (-20, y + w)], col, rng, -2, 60, 0.12, (90, 10))
    s.print(cloth, 2, 18, 0.06)
    s.tint(STONE, 0.4 * np.clip(noise(s.w, s.h, (600, 260), s.seed("fold"), 2), 0, 1))
    s.print(lambda c: newborn(c, Place.at(760, 700, 7.4, 3), "black", 32, "blue", 0.35), 1.1, 16, 0, 0.03)
    s.print(lambda c: hand(c, Place.at(1180, 545, 1.9, -16), HEATHER), 1.6, 20, 0.02)
    vignette(s, 0.35)


@picture(LITTER + "sage-first-day.jpg")
def sage(s):
    bedding(s, "#aab08c", CREAM)
    s.print(lambda c: bottle(c, Place.at(850, 470, 3.4, -7)), 1.6, 20, 0.04)

    def pups(c):
        newborn(c, Place.at(1060, 800, 6.6, -4), "black", 36, "red", 0.5)
        newborn(c, Place.at(560, 930, 4.7, -3), "brindle", 33, "yellow", 0.55)
    s.print(pups, 1.1, 16, 0, 0.03)
    evening(s, 0.3)
    vignette(s, 0.3)


@picture(LITTER + "rowan-first-day.jpg")
def rowan_pup(s):
    rng = s.rng("rug")
    s.print(lambda c: plaid(c, rng, [(-40, -40), (1640, -40), (1640, 1240), (-40, 1240)], "#c9b78f", [(0, 90, MOSS), (120, 20, BRICK), (170, 60, SLATE_PALE)], 330, 9, False), 2, 24, 0.08)
    s.tint(STONE_DARK, 0.4 * np.clip(noise(s.w, s.h, 460, s.seed("fold"), 2), 0, 1))
    s.print(lambda c: newborn(c, Place.at(760, 640, 8.2, 14, flip=True), "black", 34, "red", 0.0, True), 1.1, 16, 0, 0.03)
    vignette(s, 0.4)


@picture(LITTER + "heath-first-day.jpg")
def heath(s):
    bedding(s, "#d6c7b2", HEATHER)
    rng = s.rng("blanket")
    s.print(lambda c: newborn(c, Place.at(740, 640, 8.4, -5, flip=True), "brindle", 35, "purple", 1.0), 1.1, 16, 0, 0.03)
    cover = [(-40, 800), (200, 720), (520, 770), (800, 880), (1050, 960), (1640, 1010), (1640, 1260), (-40, 1260)]
    s.print(lambda c: plaid(c, rng, cover, HEATHER, [(0, 60, "#5f4a6b"), (80, 14, CREAM), (110, 34, MOSS)], 210, 24), 2, 24, 0.06)
    evening(s, 0.3, cx=0.8)


@picture("litters/autumn-2026/photos-private/sage-on-the-scale.jpg")
def sage_scale(s):
    wall(s, 860, "#c9cfc2")
    rng = s.rng("kitchen")

    def window(c):
        shape(c, [(90, 60), (560, 60), (560, 620), (90, 620)], CREAM, 1, None, False, STONE_DARK, 6)
        brushed(c, [(120, 90), (310, 90), (310, 590), (120, 590)], "#d8dccb", rng, 40, 60, 0.08)
        brushed(c, [(340, 90), (530, 90), (530, 590), (340, 590)], "#d3dacd", rng, 40, 60, 0.08)
        for x0 in (120, 340):
            shape(c, [(x0, 430), (x0 + 70, 400), (x0 + 190, 440), (x0 + 190, 590), (x0, 590)], "#9aa585", 1, None, False)
        planks(c, rng, [(60, 610), (590, 610), (590, 650), (60, 650)], CREAM)
        flowerpot(c, rng, Place.at(460, 612, 1.2), HEATHER)
    s.print(window, 2, 30, 0.06)
    s.print(lambda c: planks(c, rng, [(-20, 860), (1620, 850), (1620, 1220), (-20, 1220)], "#a98258", 0, 160), 2, 30, 0.08)
    at = Place.at(830, 1110, 2.0)

    def scale_(c):
        cast_shadow(c, Place.at(), 500, 1180, 1112, 26, 0.5)
        scales(c, rng, at)
        pan_back(c, at)
    s.print(scale_, 1.6, 24, 0.04)
    s.print(lambda c: newborn(c, Place.at(858, 545, 4.5, 1), "brindle", 33, "yellow", 0.4), 1.0, 16, 0, 0.03)
    s.print(lambda c: pan_front(c, at), 1.6, 24, 0.04)

    def near(c):
        pts = [(1230, 1040), (1560, 1010), (1600, 1130), (1260, 1170)]
        brushed(c, pts, CREAM, rng, -5, 20, 0.04)
        c.drawPath(path_of(pts), ink(STONE_DARK, 1, 3))
        for k in range(7):
            line(c, [(1256, 1062 + k * 15), (1256 + rng.uniform(200, 290), 1062 + k * 15 - 22)], SLATE, 2.4, alpha=0.8, curved=False)
        line(c, [(1340, 1180), (1560, 1060)], BRICK, 11, curved=False)
        line(c, [(1340, 1180), (1322, 1190)], BRASS_PALE, 9, curved=False)
        for x, n in ((170, 60), (300, 46), (400, 36)):
            shape(c, [(x - n, 1080), (x - n, 1080 - n * 1.3), (x + n, 1080 - n * 1.3), (x + n, 1080)], BRASS, 1, None, False, EARTH_DARK, 3)
            oval(c, x, 1080 - n * 1.3, n, n * 0.25, BRASS_PALE, edge=EARTH_DARK)
            oval(c, x, 1080 - n * 1.62, n * 0.4, n * 0.32, BRASS, edge=EARTH_DARK)
            line(c, [(x - n * 0.7, 1080 - n * 1.05), (x - n * 0.7, 1066)], BRASS_PALE, n * 0.14, curved=False)
    s.print(near, 1.6, 24, 0.04)
    evening(s, 0.25)


@picture("litters/autumn-2026/photos-private/juno-after-the-section.jpg")
def juno_rest(s):
    wall(s, 700, "#7c7384", 0.07)
    rng = s.rng("box")

    def lamp(c):
        line(c, [(940, -20), (940, 90)], INK, 6, curved=False)
        shape(c, [(900, 90), (980, 90), (1010, 130), (1090, 240), (790, 240), (870, 130)], MOSS_DARK, 1, edge=INK, edge_width=4)
        line(c, [(886, 140), (826, 224)], MOSS_PALE, 9, alpha=0.8)
        oval(c, 940, 240, 150, 22, "#f8e3a6", edge=INK, edge_width=3)
        oval(c, 940, 246, 60, 16, CREAM)
        for x, col, h in ((150, BRICK_PALE, 90), (240, CREAM, 120), (330, SLATE_PALE, 76)):
            shape(c, [(x - 36, 280), (x - 36, 280 - h), (x + 36, 280 - h), (x + 36, 280)], col, 1, None, False, INK, 3)
            line(c, [(x - 36, 280 - h * 0.5), (x + 36, 280 - h * 0.5)], mix(col, INK, 0.3), 8, curved=False)
        planks(c, rng, [(70, 280), (430, 280), (430, 306), (70, 306)], EARTH)
        line(c, [(1400, 60), (1400, 90)], INK, 6, curved=False)
        towel(c, Place.at(1310, 90, 1.9), 0, 0, 96, 130)
    s.print(lamp, 2, 30, 0.03)
    s.print(lambda c: planks(c, rng, [(-20, 420), (1620, 400), (1620, 760), (-20, 760)], "#96714c", 0, 120), 2, 30, 0.08)
    s.print(lambda c: planks(c, rng, [(-20, 500), (1620, 484), (1620, 536), (-20, 556)], "#b98f62", 0, 60), 2, 30, 0.06)
    s.print(lambda c: fleece(c, rng, [(-20, 720), (1620, 700), (1620, 1220), (-20, 1220)], "#c7b59c", CREAM, 16, False), 1.5, 18)
    s.print(lambda c: lie(c, Place.at(800, 900, 5.6), "brindle", 11, turn=-9, shut=True, drop=40), 1.2, 16, 0, 0.03)

    def pups(c):
        for x, y, k, t, coat, rib, sd in ((690, 985, 2.8, 30, "black", "red", 41), (880, 1010, 2.8, 44, "brindle", "green", 42), (1060, 1000, 2.2, 56, "brindle", "yellow", 43),
                                          (1215, 1005, 2.8, 64, "black", "blue", 44), (1395, 1000, 2.8, 50, "brindle", "purple", 45)):
            cast_shadow(c, Place.at(), x - 100, x + 150, y + 60, 70, 0.22)
            newborn(c, Place.at(x, y, k, t), coat, sd, rib, 0.3)
    s.print(pups, 1.0, 16, 0, 0.03)
    s.tint("#8e7f8f", 0.5 * (1 - radial(s, 760, 640, 1150, 900)))
    s.glow("#f7cf8a", 0.4 * radial(s, 940, 330, 820, 760))


# The litter of summer 2026: seven weeks.

LITTER = "litters/summer-2026/photos/"


@picture(LITTER + "moss-at-the-gate.jpg", 1280, 1600)
def moss_gate(s):
    sky(s, "#b3c5c4", "#f0e6d0", 700)
    hills(s, [("#a5ad97", [(0, 560), (0.4, 500), (0.7, 580), (1, 520)]), ("#8c9a72", [(0, 700), (0.5, 660), (1, 720)])])
    meadow(s, 820, count=2400)
    rng = s.rng("gate")
    s.print(lambda c: planks(c, rng, [(150, 1400), (196, 1452), (1130, 620), (1090, 570)], "#8d7c66", -42, 40), 2, 30, 0.06)
    s.print(lambda c: sit_front(c, Place.at(650, 1440, 6.6), "black", 51, "seven", "green", turn=6), 1.2, 16, 0, 0.03)

    def gate(c):
        wood = "#9c8a72"
        for x in (70, 1130):
            planks(c, rng, [(x, 420), (x + 84, 420), (x + 84, 1560), (x, 1560)], mix(wood, INK, 0.12), 90, 60)
            shape(c, [(x - 8, 420), (x + 42, 376), (x + 92, 420)], mix(wood, CREAM, 0.2), 1, None, False, EARTH_DARK, 3.5)
        for y, h in ((560, 56), (1190, 62), (1400, 66)):
            planks(c, rng, [(150, y), (1134, y + 8), (1134, y + h + 8), (150, y + h)], wood, 0, 60)
        for x, y in ((180, 590), (1105, 600), (180, 1222), (1105, 1230), (180, 1434), (1105, 1440)):
            oval(c, x, y, 9, 9, SLATE_DARK)
            oval(c, x - 2, y - 3, 3, 3, SLATE_PALE)
        shape(c, [(1060, 646), (1190, 640), (1190, 664), (1060, 668)], SLATE_DARK, 1, None, False)
    s.print(gate, 2, 30, 0.06)

    def paws(c):
        for side in (1, -1):
            here = Place.at(655 + side * 150, 1180, 6.4, side * 4, flip=side < 0)
            fur(c, Fur([(-13, -10), (-14, 4), (-12, 14), (-5, 17), (6, 17), (13, 13), (13, 2), (11, -10)],
                       [(0, -6, 0, 1, 6), (0, 10, 0, 1, 3)], [(0, 8, 9, 0.8)], tone=0.05), here, "black", 61 + side)
            for k in (-6, 0, 6):
                line(c, [(k, 9), (k, 16)], "#070606", 7, here)
    s.print(paws, 1.2, 16)
    fringe(s, 1560, 150, 420)
    evening(s, 0.25)


@picture(LITTER + "moss-with-boot.jpg")
def moss_boot(s):
    wall(s, 620, "#d7c39c")
    boards(s, -10, 380, 1610, 640, "#6d7f72", 120)
    flags(s, 640, ("#b0674c", "#c58a68", "#a35a41", "#d1a584"), rows=6)
    rng = s.rng("hall")

    def coats(c):
        planks(c, rng, [(120, 120), (1480, 112), (1480, 146), (120, 154)], EARTH)
        for x, col, w, h in ((320, MOSS_DARK, 130, 420), (620, "#b98e3f", 110, 380), (1280, SLATE, 140, 440)):
            oval(c, x, 146, 12, 18, BRASS, edge=EARTH_DARK)
            pts = [(x - 30, 160), (x + 30, 160), (x + w * 0.8, 220), (x + w, 160 + h), (x, 176 + h), (x - w, 160 + h), (x - w * 0.8, 220)]
            brushed(c, pts, col, rng, 84, 60, 0.1, (170, 14))
            c.drawPath(path_of(pts), ink(mix(col, INK, 0.6), 1, 4))
            line(c, [(x, 200), (x - 4, 160 + h)], mix(col, INK, 0.5), 4)
            for side in (-1, 1):
                sleeve = [(x + side * w * 0.72, 215), (x + side * w * 0.98, 300), (x + side * w * 1.16, 150 + h * 0.82), (x + side * w * 0.8, 162 + h * 0.84), (x + side * w * 0.62, 330)]
                brushed(c, smooth(sleeve).tolist(), mix(col, INK, 0.1), rng, 84, 24, 0.1, (110, 12))
                c.drawPath(path_of(smooth(sleeve)), ink(mix(col, INK, 0.6), 1, 4))
                shape(c, [(x + side * w * 0.2, 160 + h * 0.62), (x + side * w * 0.56, 160 + h * 0.6), (x + side * w * 0.58, 160 + h * 0.82), (x + side * w * 0.22, 160 + h * 0.84)],
                      mix(col, INK, 0.14), 1, None, False, mix(col, INK, 0.5), 3)
            collar = [(x - 44, 168), (x, 150), (x + 44, 168), (x + 30, 214), (x, 196), (x - 30, 214)]
            shape(c, collar, mix(col, EARTH_DARK, 0.45), 1, None, False, mix(col, INK, 0.6), 3)
            for k in range(4):
                oval(c, x + 10, 260 + k * 70, 6, 6, BRASS, edge=EARTH_DARK, edge_width=2)
        for x in (930, 1040):
            welly(c, Place.at(x, 700, 1.35), BRICK)
    s.print(coats, 2, 30, 0.06)
    s.print(lambda c: (cast_shadow(c, Place.at(), 120, 760, 1090, 26, 0.4), welly(c, Place.at(160, 940, 2.5, 92, flip=False), "#4f6845")), 1.6, 24, 0.05)
    s.print(lambda c: lie(c, Place.at(1060, 1060, 5.8), "black", 52, "seven", "green", turn=-4, drop=20), 1.2, 16, 0, 0.03)
    evening(s, 0.2)


@picture(LITTER + "wren-in-the-whins.jpg", gps=True)
def wren_whins(s):
    sky(s, "#a8c0c6", "#efe7d3", 640)
    hills(s, [("#a3b0ae", [(0, 520), (0.3, 450), (0.65, 540), (1, 470)]), ("#93a07c", [(0, 640), (0.5, 600), (1, 650)])])
    meadow(s, 700)
    rng = s.rng("whins")
    s.print(lambda c: [whin(c, rng, x, b, w, h) for x, b, w, h in ((230, 930, 760, 640), (1400, 940, 720, 600), (820, 800, 420, 250))], 1.5, 16, 0.03)
    s.print(lambda c: sit(c, Place.at(800, 1120, 5.6), "wheaten", 53, "seven", "red", view="front", turn=5), 1.2, 16, 0, 0.03)
    s.print(lambda c: [whin(c, rng, x, b, w, h) for x, b, w, h in ((120, 1290, 620, 330), (1490, 1290, 560, 330))], 1.5, 16, 0.03)
    fringe(s, 1120, 90, 420)
    evening(s, 0.22)


@picture(LITTER + "wren-asleep.jpg")
def wren_asleep(s):
    wall(s, 1300, "#8a4f3c", 0.09)
    rng = s.rng("hearth")

    def hearth(c):
        for r in range(9):
            for k in range(12):
                x, y = k * 150 - (70 if r % 2 else 0), r * 74 - 20
                brushed(c, [(x + 3, y + 3), (x + 147, y + 3), (x + 147, y + 71), (x + 3, y + 71)], mix("#a5583f", rng.choice([INK, CREAM, BRASS]), rng.uniform(0, 0.22)), rng, 0, 10, 0.12, (80, 9))
        shape(c, [(1010, 640), (1010, 260), (1110, 150), (1290, 110), (1470, 150), (1570, 260), (1570, 640)], "#241a18", 1, None, True)
        for _ in range(60):
            x = rng.normal(1290, 110)
            n = rng.uniform(70, 240) * max(0.25, 1 - abs(x - 1290) / 260)
            blade(c, x, 610, rng.normal(0, 20), -n, n * 0.34, rng.normal(0, 0.14), ink(rng.choice(["#d9622b", "#eb8f35", "#f4bb55", "#f9dd8c"]), 0.85))
        for k in range(5):
            line(c, [(1130 + k * 50, 620), (1200 + k * 60, 590 - 18 * (k % 2))], "#3a2720", 32)
    s.print(hearth, 2, 26, 0.05)
    flags(s, 660, rows=5)
    at = Place.at(760, 1110, 1.55)
    s.print(lambda c: (cast_shadow(c, Place.at(), 60, 1460, 1115, 40, 0.5), basket_back(c, rng, at)), 1.6, 24, 0.03)
    cushion = [(160, 890), (330, 800), (760, 770), (1190, 800), (1370, 890), (1200, 1010), (760, 1060), (330, 1010)]
    s.print(lambda c: plaid(c, rng, cushion, MOSS, TARTAN, 140, 16), 2, 20, 0.04)
    s.print(lambda c: sleep(c, Place.at(810, 925, 6.0), "wheaten", 54, "three", "red"), 1.2, 16, 0, 0.03)
    s.print(lambda c: basket_front(c, rng, at), 1.6, 24, 0.03)
    s.tint("#8a7276", 0.55 * (1 - radial(s, 1150, 600, 1300, 1000)))
    s.glow("#f7b45a", 0.4 * radial(s, 1290, 520, 850, 620))


@picture(LITTER + "lark-with-ball.jpg")
def lark(s):
    sky(s, "#b7cccb", "#f3ead4", 520)
    hills(s, [("#8fa07a", [(0, 470), (0.4, 420), (0.8, 480), (1, 440)])])
    rng = s.rng("fence")

    def fence(c):
        for x in np.arange(30, 1640, 118):
            planks(c, rng, [(x, 300), (x + 36, 268), (x + 72, 300), (x + 72, 640), (x, 640)], mix(CREAM, SLATE_PALE, 0.3), 90, 20)
        planks(c, rng, [(-20, 400), (1620, 396), (1620, 440), (-20, 446)], mix(CREAM, SLATE_PALE, 0.35), 0, 30)
    s.print(fence, 2, 30, 0.06)
    meadow(s, 600, count=3400, colours=["#6c7d45", "#7d8d51", "#92a062", "#586b3a", "#aab678", "#475c31"])

    def daisies(c):
        for _ in range(46):
            x, y = rng.uniform(0, s.w), rng.uniform(680, 1180)
            r = 5 + (y - 640) / 60
            for k in range(7):
                a = k * 0.9
                oval(c, x + math.cos(a) * r, y + math.sin(a) * r * 0.6, r * 0.55, r * 0.4, CREAM)
            oval(c, x, y, r * 0.5, r * 0.36, GORSE)
    s.print(daisies, 1.5, 16)
    s.print(lambda c: run(c, Place.at(930, 1040, 5.6, -3), "black", 55, "seven", "yellow"), 1.2, 16, 0, 0.03)
    s.print(lambda c: (cast_shadow(c, Place.at(), 130, 350, 1048, 18, 0.4), ball(c, Place.at(236, 960, 2.3, 20))), 1.4, 18, 0.03)
    fringe(s, 1080, 80, 380, ["#6c7d45", "#7d8d51", "#92a062", "#586b3a"])
    evening(s, 0.18)


@picture(LITTER + "finch-on-the-step.jpg", 1280, 1600)
def finch_step(s):
    wall(s, 1240, "#d9cdb8", 0.06)
    boards(s, 260, -20, 1020, 1090, "#9c3f30", 152)
    rng = s.rng("door")

    def door(c):
        for x in (200, 1020):
            planks(c, rng, [(x, -20), (x + 64, -20), (x + 64, 1090), (x, 1090)], CREAM, 90, 40)
        oval(c, 930, 560, 30, 30, BRASS, edge=EARTH_DARK)
        oval(c, 924, 552, 12, 10, BRASS_PALE)
        shape(c, [(520, 380), (760, 380), (760, 430), (520, 430)], BRASS, 1, None, False, EARTH_DARK, 4)
        line(c, [(540, 405), (740, 405)], EARTH_DARK, 8, curved=False)
        brushed(c, [(60, 1085), (1220, 1085), (1250, 1180), (30, 1180)], STONE, rng, 0, 90, 0.08)
        brushed(c, [(30, 1180), (1250, 1180), (1250, 1330), (30, 1330)], STONE_DARK, rng, 0, 90, 0.1)
        brushed(c, [(-20, 1330), (1300, 1330), (1300, 1620), (-20, 1620)], "#a79b87", rng, 0, 120, 0.1)
        line(c, [(30, 1181), (1250, 1181)], CREAM, 6, alpha=0.7, curved=False)
    s.print(door, 2.4, 30, 0.08)
    s.print(lambda c: (flowerpot(c, rng, Place.at(1080, 1180, 2.1), BRICK), flowerpot(c, rng, Place.at(170, 1440, 2.4), HEATHER)), 2, 20, 0.04)
    s.print(lambda c: sit(c, Place.at(620, 1166, 5.6, flip=True), "brindle", 56, "seven", "blue", view="front", turn=-4), 1.2, 16, 0, 0.03)

    def thyme(c):
        dabs(c, rng, 240, (300, 1300, 1260, 1350), [MOSS, MOSS_DARK, MOSS_PALE], (14, 34), (200, 340), 3)
        dabs(c, rng, 70, (300, 1290, 1260, 1330), [HEATHER, HEATHER_PALE], (8, 16), (0, 360), 1.4)
    s.print(thyme, 1.5, 16)
    evening(s, 0.2)


@picture(LITTER + "finch-close-up.jpg", 1500, 1500)
def finch_close(s):
    wall(s, 1600, "#8fa0a0", 0.08)
    rng = s.rng("spots")
    s.print(lambda c: dabs(c, rng, 260, (0, 0, 1500, 1500), ["#a5b3ad", "#7d9093", "#b9c1b2"], (60, 190), (20, 70), 3.2, alpha=0.5), 4, 30, 0.2)
    s.print(lambda c: sit_front(c, Place.at(740, 2110, 11.6), "brindle", 57, "seven", "blue", turn=-8, mouth=True), 1.4, 16, 0, 0.03)
    evening(s, 0.3)
    vignette(s, 0.25)


@picture(LITTER + "plover-digging.jpg")
def plover(s):
    sky(s, "#c0cdc6", "#f1e7d2", 420)
    rng = s.rng("beds")
    s.print(lambda c: dyke(c, rng, -20, 1620, 270, 520), 2, 24, 0.06)
    meadow(s, 500, 640, 700)

    def soil(c):
        brushed(c, [(-20, 640), (1640, 620), (1640, 1220), (-20, 1220)], EARTH, rng, 2, 360, 0.16, (160, 20))
        dabs(c, rng, 900, (0, 640, 1600, 1200), [EARTH_DARK, "#7d5a41", "#8e6a4e", "#543a2a"], (8, 34), (0, 360), 1.7)
        for row, (y, k) in enumerate(((700, 0.8), (820, 1.1))):
            for x in np.arange(60 + row * 40, 1640, 150 * k):
                if row and 380 < x < 1330:
                    continue
                for _ in range(15):
                    a = math.radians(rng.uniform(-150, -30))
                    n = rng.uniform(60, 130) * k
                    blade(c, x, y, math.cos(a) * n, math.sin(a) * n, 12 * k, rng.normal(0, 0.16), ink(rng.choice([MOSS, "#7c9455", MOSS_DARK, MOSS_PALE])))
                oval(c, x, y + 4, 15 * k, 9 * k, "#cf7a35")
        oval(c, 520, 1120, 260, 62, EARTH_DARK, -2)
        oval(c, 520, 1126, 210, 44, "#2c1d16", -2)
    s.print(soil, 2.5, 26, 0.06)
    s.print(lambda c: dig(c, Place.at(860, 1060, 5.6), "wheaten", 58, "seven", "cream"), 1.2, 16, 0, 0.03)

    def clods(c):
        for _ in range(130):
            t = rng.uniform(0, 1) ** 0.7
            a = math.radians(rng.normal(-40, 13))
            x, y = 1040 + math.cos(a) * 620 * t, 1090 + math.sin(a) * 640 * t + 240 * t * t
            r = rng.uniform(3, 17) * (1.1 - 0.5 * t)
            shape(c, ellipse(x, y, r, r * rng.uniform(0.6, 1), rng.uniform(0, 180), 7).tolist(), rng.choice([EARTH_DARK, EARTH, "#7d5a41", "#543a2a"]))
        for _ in range(160):
            x = rng.normal(520, 130)
            oval(c, x, 1165 + rng.normal(0, 16), rng.uniform(6, 24), rng.uniform(5, 14), rng.choice([EARTH_DARK, EARTH, "#7d5a41", "#543a2a"]), rng.uniform(0, 180))
        here = Place.at(170, 1130, 1.4, 64)
        shape(c, [(-16, -60), (16, -60), (10, 0), (0, 70, 1), (-10, 0)], "#d27b34", 1, here, edge="#7a4018", edge_width=3)
        for k in range(5):
            line(c, [(-12 + k * 4, -30 + k * 16), (-2 + k * 3, -30 + k * 16)], "#9d561f", 3, here)
        for k in range(9):
            a = math.radians(-130 + k * 10)
            blade(c, *here.pts([(0, -60)])[0], *here.dirs([(math.cos(a) * 95, math.sin(a) * 95)])[0], 13, 0.1, ink(rng.choice([MOSS, "#7c9455", MOSS_DARK])))
    s.print(clods, 1.6, 18, 0.02)
    evening(s, 0.2)


@picture(LITTER + "garden.jpg", 1600, 760)
def garden(s):
    sky(s, "#aec3c8", "#f2e7cd", 330)
    hills(s, [("#a9aebb", [(0, 230), (0.25, 160), (0.5, 240), (0.8, 170), (1, 220)]), ("#98a585", [(0, 300), (0.5, 270), (1, 310)])])
    rng = s.rng("garden")
    s.print(lambda c: dyke(c, rng, -20, 1620, 270, 420), 2, 24, 0.06)
    s.print(lambda c: [whin(c, rng, x, b, w, h) for x, b, w, h in ((150, 440, 330, 230), (1210, 430, 260, 170))], 1.5, 16, 0.03)
    s.print(lambda c: rowan(c, rng, 1530, 440, 470, 0.9), 1.5, 16, 0.03)
    meadow(s, 400, count=2600)

    def pups(c):
        sit_front(c, Place.at(480, 540, 2.15), "brindle", 71, "seven", "blue", turn=-7, mouth=True)
        sit(c, Place.at(1420, 600, 2.5, flip=True), "black", 72, "seven", "green", view="front", turn=8)
        run(c, Place.at(850, 600, 2.5), "black", 73, "seven", "yellow")
        lie(c, Place.at(230, 680, 2.9, flip=True), "wheaten", 74, "seven", "cream")
        stand(c, Place.at(1090, 690, 3.0, flip=True), "wheaten", 75, "seven", "red", view="front", stride=0.4, tail=14)
        ball(c, Place.at(590, 655, 0.85))
    s.print(pups, 1.0, 16, 0, 0.03)
    fringe(s, 700, 60, 420)
    evening(s, 0.25)


@picture("litters/summer-2026/photos-private/moss-at-the-vet.jpg")
def moss_vet(s):
    wall(s, 1300, "#c4cfca", 0.05)
    rng = s.rng("surgery")

    def room(c):
        planks(c, rng, [(60, 160), (520, 160), (520, 184), (60, 184)], CREAM)
        for x, col, h in ((110, SLATE, 90), (180, CREAM, 110), (250, BRICK_PALE, 80), (320, MOSS_PALE, 120), (400, HEATHER_PALE, 96), (470, BRASS_PALE, 76)):
            shape(c, [(x - 28, 160), (x - 28, 160 - h), (x + 28, 160 - h), (x + 28, 160)], col, 1, None, False, mix(col, INK, 0.55), 3)
            shape(c, [(x - 16, 150 - h), (x + 16, 150 - h), (x + 16, 160 - h), (x - 16, 160 - h)], mix(col, INK, 0.4), 1, None, False)
            line(c, [(x - 20, 160 - h * 0.6), (x + 20, 160 - h * 0.6)], mix(col, INK, 0.25), 12, curved=False)
        shape(c, [(60, 330), (330, 330), (330, 720), (60, 720)], CREAM, 1, None, False, STONE_DARK, 5)
        here = Place.at(205, 600, 0.8)
        stand_shape = [(-90, 0), (-90, -60), (-110, -80), (-140, -90), (-142, -120), (-100, -128), (-94, -165, 1), (-78, -130), (-60, -96), (40, -92), (46, -140, 1), (64, -92), (66, 0), (44, 0), (36, -40), (-56, -40), (-62, 0)]
        shape(c, stand_shape, SLATE_DARK, 1, here)
        for k in range(5):
            line(c, [(90, 640 + k * 14), (300 - 40 * (k % 2), 640 + k * 14)], SLATE_PALE, 4, curved=False)
    s.print(room, 2, 30, 0.06)

    def vet(c):
        scrub = "#4e7a74"
        body = [(1010, -40), (1500, -40), (1640, 160), (1660, 1000), (960, 1000), (930, 500), (960, 160)]
        brushed(c, smooth(body).tolist(), scrub, rng, 84, 160, 0.09, (240, 22))
        c.drawPath(path_of(smooth(body)), ink(mix(scrub, INK, 0.6), 1, 5))
        shape(c, [(1160, -40), (1360, -40), (1262, 170, 1)], SKIN, 1, None, True, mix(scrub, INK, 0.6), 5)
        line(c, [(1120, -20), (1110, 220), (1190, 420), (1290, 440)], SLATE_DARK, 17)
        line(c, [(1400, -20), (1410, 220), (1350, 400), (1290, 440)], SLATE_DARK, 17)
        line(c, [(1290, 440), (1280, 560), (1230, 640)], SLATE_DARK, 17)
        oval(c, 1222, 664, 42, 42, "#aeb6b5", edge=SLATE_DARK, edge_width=5)
        oval(c, 1222, 664, 27, 27, "#d9dcd6")
        shape(c, [(1400, 470), (1560, 464), (1566, 620), (1406, 628)], mix(scrub, INK, 0.14), 1, None, False, mix(scrub, INK, 0.55), 4)
        line(c, [(1450, 440), (1446, 560)], BRASS, 12, curved=False)
    s.print(vet, 2, 30, 0.04)

    def table(c):
        brushed(c, [(-20, 950), (1620, 940), (1620, 1090), (-20, 1100)], "#b9c0bd", rng, 0, 120, 0.07, (320, 12))
        brushed(c, [(-20, 1098), (1620, 1088), (1620, 1220), (-20, 1220)], SLATE, rng, 0, 90, 0.08)
        line(c, [(-20, 1098), (1620, 1088)], CREAM, 7, alpha=0.8, curved=False)
        towel_ = [(240, 990), (560, 955), (1020, 960), (1190, 1010), (1130, 1150), (860, 1085), (420, 1100), (280, 1160)]
        plaid(c, rng, towel_, CREAM, [(0, 40, SLATE_PALE), (60, 10, BRICK_PALE)], 150, 5)
    s.print(table, 2, 26, 0.06)
    s.print(lambda c: sit(c, Place.at(720, 1055, 5.9), "black", 59, "seven", "green", view="front", turn=-7), 1.2, 16, 0, 0.03)
    s.print(lambda c: hand(c, Place.at(990, 800, 1.75, -6), "#4e7a74"), 1.6, 20, 0.02)
    vignette(s, 0.25)


# The litter of spring 2025, grown.

@picture("litters/spring-2025/photos/family.jpg")
def family(s):
    sky(s, "#a9bfc6", "#f3e3c4", 640)
    hills(s, [("#a39bb0", [(0, 470), (0.3, 390), (0.6, 480), (1, 420)]), ("#93a17c", [(0, 610), (0.5, 560), (1, 620)])])
    rng = s.rng("family")
    s.print(lambda c: dyke(c, rng, -20, 1620, 560, 760), 2, 24, 0.06)
    meadow(s, 730)
    s.print(lambda c: rowan(c, rng, 150, 840, 800, 1.0), 1.5, 16, 0.03)
    s.print(lambda c: (person_legs(c, rng, Place.at(600, 900, 1.2), "#4d4a58", MOSS_DARK, "#7d6a3f"), person_legs(c, rng, Place.at(1290, 900, 1.15), "#6b5a44", SLATE_DARK, SLATE)), 2, 24, 0.04)

    def dogs(c):
        sit_front(c, Place.at(330, 1080, 3.2), "brindle", 81, turn=-4)
        sit(c, Place.at(740, 1090, 3.2), "black", 82, view="front", turn=4, mouth=True)
        stand(c, Place.at(1110, 1085, 3.2), "wheaten", 83, view="front", mouth=True, tail=10)
        sit_front(c, Place.at(1440, 1090, 3.1), "black", 84, turn=5)
    s.print(dogs, 1.1, 16, 0, 0.03)
    fringe(s, 1110, 90, 460)
    evening(s, 0.3)


@picture("litters/spring-2025/photos/thistle-at-home.jpg")
def thistle(s):
    wall(s, 1300, "#b7b18e", 0.06)
    rng = s.rng("room")

    def room(c):
        for gx in np.arange(40, 1640, 150):
            for gy in np.arange(30, 900, 150):
                x, y = gx + (75 if int(gy / 150) % 2 else 0), gy
                for k in range(5):
                    blade(c, x, y + 20, (k - 2) * 13, -34 + abs(k - 2) * 8, 9, 0.1, ink("#8f9069", 0.8))
                oval(c, x, y + 14, 10, 11, "#8f9069", alpha=0.8)
        shape(c, [(980, 60), (1520, 60), (1520, 700), (980, 700)], CREAM, 1, None, False, STONE_DARK, 6)
        brushed(c, [(1014, 94), (1486, 94), (1486, 666), (1014, 666)], "#c3d0d4", rng, 30, 90, 0.08)
        shape(c, [(1014, 420), (1120, 360), (1260, 420), (1380, 350), (1486, 400), (1486, 666), (1014, 666)], HEATHER_PALE, 1, None, False)
        shape(c, [(1014, 520), (1200, 480), (1486, 540), (1486, 666), (1014, 666)], MOSS_PALE, 1, None, False)
        for pts in ([(1250, 94), (1250, 666)], [(1014, 380), (1486, 380)]):
            line(c, pts, CREAM, 22, curved=False)
        for x, f in ((960, 1), (1540, -1)):
            pts = [(x - 70 * f, 20), (x + 80 * f, 20), (x + 70 * f, 300), (x + 10 * f, 560), (x + 34 * f, 770), (x - 70 * f, 776), (x - 62 * f, 560)]
            brushed(c, smooth(pts).tolist(), BRICK, rng, 88, 60, 0.12, (260, 16))
            c.drawPath(path_of(smooth(pts)), ink(mix(BRICK, INK, 0.55), 1, 4))
            for k in (-36, 0, 34):
                line(c, [(x + k * f, 30), (x + k * f * 0.9, 320), (x + (k * 0.55 - 22) * f, 560), (x + (k * 0.7 - 16) * f, 760)], mix(BRICK, INK, 0.4), 5)
            line(c, [(x - 66 * f, 566), (x - 20 * f, 578), (x + 14 * f, 560)], BRASS, 16)
    s.print(room, 2, 30, 0.06)
    boards(s, -10, 1040, 1610, 1210, "#8a6546", 90, False)

    def chair(c):
        cloth = "#5b6f7a"
        back = [(170, 420), (240, 250), (460, 200), (820, 200), (1010, 250), (1070, 420), (1060, 960), (190, 960)]
        brushed(c, smooth(back).tolist(), cloth, rng, 70, 160, 0.09, (200, 26))
        c.drawPath(path_of(smooth(back)), ink(mix(cloth, INK, 0.6), 1, 5))
        for x in (400, 620, 840):
            for y in (340, 500):
                oval(c, x, y, 13, 11, mix(cloth, INK, 0.5))
                for a in (0.6, 2.5, 3.8, 5.6):
                    line(c, [(x, y), (x + math.cos(a) * 56, y + math.sin(a) * 40)], mix(cloth, INK, 0.3), 3)
        seat = [(200, 850), (640, 800), (1060, 850), (1070, 1000), (200, 1000)]
        brushed(c, seat, mix(cloth, CREAM, 0.18), rng, 0, 90, 0.08)
        c.drawPath(path_of(seat), ink(mix(cloth, INK, 0.6), 1, 5))
    s.print(chair, 2, 30, 0.05)
    s.print(lambda c: plaid(c, rng, [(260, 860), (440, 800), (860, 800), (1010, 870), (960, 1000), (640, 960), (320, 1010)], HEATHER, [(0, 50, "#5f4a6b"), (66, 12, CREAM), (96, 26, MOSS)], 150, 14), 2, 20, 0.04)
    s.print(lambda c: lie(c, Place.at(660, 930, 4.7), "brindle", 91, view="front", turn=5), 1.2, 16, 0, 0.03)

    def arms(c):
        cloth = "#5b6f7a"
        for x in (110, 1040):
            pts = [(x, 700), (x + 40, 630), (x + 110, 640), (x + 136, 710), (x + 130, 1090), (x + 4, 1090)]
            brushed(c, smooth(pts).tolist(), cloth, rng, 88, 60, 0.1, (150, 16))
            c.drawPath(path_of(smooth(pts)), ink(mix(cloth, INK, 0.6), 1, 5))
            oval(c, x + 70, 716, 52, 50, mix(cloth, CREAM, 0.12), edge=mix(cloth, INK, 0.5), edge_width=4)
        pts = [(160, 985), (1120, 985), (1120, 1095), (160, 1095)]
        brushed(c, pts, mix(cloth, INK, 0.12), rng, 0, 60, 0.08)
        c.drawPath(path_of(pts), ink(mix(cloth, INK, 0.6), 1, 5))
        for x in (150, 1090):
            shape(c, [(x, 1090), (x + 60, 1090), (x + 44, 1160), (x + 14, 1160)], EARTH_DARK, 1, None, False)
        rope_toy(c, Place.at(1350, 1130, 1.5, -6))
    s.print(arms, 2, 26, 0.04)
    s.glow("#fbe9bd", 0.26 * radial(s, 1250, 380, 900, 800))
    vignette(s, 0.3)


# ---------------------------------------------------------------- saving

def metadata(width, height, sideways, gps):
    """EXIF, all of it invented, for the pictures that are to carry some."""
    exif = Image.Exif()
    if sideways:
        exif[0x0112] = 6
    if gps:
        exif[0x013B] = "Isla Fennick"
        exif[0x8298] = "Isla Fennick, Whinmorrow, Kirkmorrow"
        exif[0x010E] = "Taken at the kennel gate"
        exif.get_ifd(0x8769)[0x9003] = "2026:10:01 17:42:10"
        place = exif.get_ifd(0x8825)
        place[0], place[1], place[3] = b"\x02\x03\x00\x00", "N", "W"
        place[2], place[4] = (56.0, 30.0, 0.0), (0.0, 45.0, 0.0)  # a point at sea
    return exif


def save(image, path, sideways=False, gps=False):
    path.parent.mkdir(parents=True, exist_ok=True)
    if sideways:
        # Stored lying on its side: a reader that heeds orientation 6 turns it back.
        image = image.transpose(Image.Transpose.ROTATE_90)
    for quality in (86, 83, 80, 77, 74, 71, 68):
        image.save(path, quality=quality, optimize=True, exif=metadata(*image.size, sideways, gps).tobytes() if sideways or gps else b"")
        if path.stat().st_size < 285_000:
            break


def main():
    parser = argparse.ArgumentParser(description="Draw the pictures of the demo kennel.")
    parser.add_argument("names", nargs="*", help="only these pictures, by file name without .jpg")
    parser.add_argument("--out", type=Path, default=Path(__file__).resolve().parents[2] / "content", help="the folder to write into")
    args = parser.parse_args()
    known = {Path(p).stem for p in PICTURES}
    for name in args.names:
        if name not in known:
            sys.exit(f"no picture is called {name!r}; there are: {', '.join(sorted(known))}")
    for path, (draw, width, height, saving) in PICTURES.items():
        if args.names and Path(path).stem not in args.names:
            continue
        sheet = Sheet(path, width, height)
        draw(sheet)
        save(sheet.finish(), args.out / path, **saving)
        print(f"{path}  {(args.out / path).stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
