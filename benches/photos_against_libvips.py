"""Time our photo pipeline against libvips on the same pictures, and against decoding alone.

    apt-get install libvips42
    pip install pyvips scikit-image scipy pillow
    python3 benches/photos_against_libvips.py [--pictures 24] [--rounds 7] [--keep FOLDER]

Builds the example program `photo_folder` (release), makes pictures as a phone would (12 million pixels, texture and
sensor noise over the samples that scikit-image ships, every third lying on its side), then runs in turn, on two threads,
A B C A B C ...:

    decode    every picture decoded by the `image` crate, and nothing else
    ours      our pipeline: 1600, 960 and 480 pixels wide, upright, without metadata
    libvips   the same three JPEGs from one decode: a thumbnail of 1600, made smaller twice

and prints for each the medians of wall time and of processor time a picture, the highest memory, the size of what was
written and its likeness to a reference (SSIM of scikit-image on luma; the reference is the upright original made
smaller by Pillow with Lanczos), then the ratios. Where other programs are at work on the machine, go by processor time.

Nothing made here is to be committed, and nothing here is part of `check`.
"""

import argparse
import glob
import os
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor

# Heavy packages are imported where they are used: libvips runs in a process of its own, which shall pay only for itself.

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
WIDTHS = (1600, 960, 480)
SIZE = (4000, 3000)
THREADS = 2
SAMPLES = ["astronaut.png", "chelsea.png", "coffee.png", "rocket.jpg", "hubble_deep_field.jpg", "retina.jpg", "motorcycle_left.png", "ihc.png"]
ORIENTATION, DATE_TIME, EXIF_DIRECTORY, DATE_TIME_ORIGINAL = 0x0112, 0x0132, 0x8769, 0x9003


def make_picture(job):
    """One picture: a detail of a sample, enlarged, with texture where there is texture already, and noise as light makes it."""
    import numpy as np
    import skimage.data
    from PIL import Image
    from scipy import ndimage

    number, path = job
    rng = np.random.default_rng(4200 + number)
    sample = Image.open(os.path.join(os.path.dirname(skimage.data.__file__), SAMPLES[number % len(SAMPLES)])).convert("RGB")
    width = min(sample.width, sample.height * 4 / 3) * rng.uniform(0.7, 1.0)
    left, top = rng.uniform(0, sample.width - width), rng.uniform(0, sample.height - width * 3 / 4)
    enlarged = sample.resize(SIZE, Image.Resampling.LANCZOS, box=(left, top, left + width, top + width * 3 / 4))
    light = (np.asarray(enlarged, dtype=np.float32) / 255) ** 2.2
    luma = light @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    local = ndimage.uniform_filter(luma, 64)
    contrast = np.sqrt(np.maximum(ndimage.uniform_filter(luma * luma, 64) - local * local, 0))
    texture = ndimage.gaussian_filter(rng.standard_normal(luma.shape).astype(np.float32), 1.0)
    light += (texture / texture.std() * ndimage.gaussian_filter(contrast, 32) * rng.uniform(0.25, 0.8))[..., None]
    noise = rng.standard_normal(light.shape).astype(np.float32) * np.sqrt(np.maximum(light, 0) * 8e-4 + 4e-5)
    light = np.clip(light + ndimage.gaussian_filter(noise, (0.7, 0.7, 0)), 0, 1)
    exif = Image.Exif()
    exif[ORIENTATION] = 6 if number % 3 == 2 else 1
    exif.get_ifd(EXIF_DIRECTORY)[DATE_TIME_ORIGINAL] = f"2026:10:{number % 28 + 1:02d} 12:00:00"
    Image.fromarray((light ** (1 / 2.2) * 255 + 0.5).astype(np.uint8)).save(path, quality=92, subsampling="4:2:0", exif=exif)


def libvips(folder, out):
    """What libvips makes of a folder; run in a process of its own, so that its memory can be told."""
    import pyvips

    pyvips.cache_set_max(0)

    def one(path):
        stem = os.path.splitext(os.path.basename(path))[0]
        picture = pyvips.Image.thumbnail(path, WIDTHS[0], height=100_000).copy_memory()
        for width in WIDTHS:
            if width != WIDTHS[0]:
                picture = picture.thumbnail_image(width, height=100_000).copy_memory()
            picture.write_to_file(os.path.join(out, f"{stem}-{width}.jpg"), Q=80, strip=True)

    files = sorted(glob.glob(os.path.join(folder, "*.jpg")))
    one(files[0])  # starting up is not counted in the wall time
    start, worked = time.perf_counter(), time.process_time()
    with ThreadPoolExecutor(THREADS) as pool:
        list(pool.map(one, files))
    print(f"{(time.process_time() - worked) * 1000 / len(files):.1f}")
    print(f"{(time.perf_counter() - start) * 1000 / len(files):.1f}")


def run(command, pictures):
    """Wall and processor milliseconds a picture, and the most memory in MB."""
    read, write = os.pipe()
    with subprocess.Popen(command, stdout=write, env={**os.environ, "VIPS_CONCURRENCY": "1"}) as process:
        os.close(write)
        with os.fdopen(read) as printed:
            *worked, wall = [float(number) for number in printed.read().split()]
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        sys.exit(f"{command[0]} failed")
    # A program that starts slowly says itself how long it worked.
    return wall, worked[0] if worked else (used.ru_utime + used.ru_stime) * 1000 / pictures, used.ru_maxrss / 1024


def likeness(job):
    """Mean SSIM of each width for one picture, for each folder."""
    import numpy as np
    from PIL import Image, ImageOps
    from skimage.metrics import structural_similarity

    path, folders = job
    stem = os.path.splitext(os.path.basename(path))[0]
    upright = ImageOps.exif_transpose(Image.open(path)).convert("RGB")
    found = {}
    for width in WIDTHS:
        height = (width * upright.height + upright.width // 2) // upright.width
        reference = np.asarray(upright.resize((width, height), Image.Resampling.LANCZOS).convert("L"))
        for folder in folders:
            made = np.asarray(Image.open(os.path.join(folder, f"{stem}-{width}.jpg")).convert("L"))
            found[folder, width] = structural_similarity(reference, made, data_range=255)
    return found


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--pictures", type=int, default=24)
    arguments.add_argument("--rounds", type=int, default=7)
    arguments.add_argument("--keep", help="a folder for the pictures, which are then made only once")
    asked = arguments.parse_args()
    subprocess.run(["cargo", "build", "--release", "--quiet", "--example", "photo_folder"], cwd=ROOT, check=True)
    target = os.environ.get("CARGO_TARGET_DIR", os.path.join(ROOT, "target"))
    program = os.path.join(target, "release", "examples", "photo_folder")
    with tempfile.TemporaryDirectory() as scratch:
        compare(program, asked, asked.keep or os.path.join(scratch, "pictures"), scratch)


def compare(program, asked, pictures, scratch):
    os.makedirs(pictures, exist_ok=True)
    jobs = [(number, os.path.join(pictures, f"IMG_{number:04d}.jpg")) for number in range(asked.pictures)]
    with ProcessPoolExecutor(THREADS) as pool:
        list(pool.map(make_picture, [job for job in jobs if not os.path.exists(job[1])]))
    folders = {name: os.path.join(scratch, name) for name in ("ours", "libvips")}
    for folder in folders.values():
        os.makedirs(folder)
    commands = {
        "decode": [program, pictures, "--decode-only", str(THREADS)],
        "ours": [program, pictures, folders["ours"], str(THREADS)],
        "libvips": [sys.executable, os.path.abspath(__file__), "--libvips", pictures, folders["libvips"]],
    }
    times = {name: [] for name in commands}
    for _ in range(asked.rounds):
        for name, command in commands.items():
            times[name].append(run(command, len(os.listdir(pictures))))
    report(times, folders, sorted(glob.glob(os.path.join(pictures, "*.jpg"))))


def report(times, folders, pictures):
    with ProcessPoolExecutor(THREADS) as pool:
        found = list(pool.map(likeness, [(path, list(folders.values())) for path in pictures]))
    print(f"{len(pictures)} pictures of {SIZE[0]} x {SIZE[1]}, {THREADS} threads, medians of {len(times['ours'])} runs in turn\n")
    print("| | wall, ms a picture | processor, ms a picture | memory, MB | written, kB a picture | SSIM 1600 | 960 | 480 |\n|---|---|---|---|---|---|---|---|")
    wall, processor, size = {}, {}, {}
    for name, runs in times.items():
        wall[name], processor[name] = (statistics.median(run[at] for run in runs) for at in (0, 1))
        cells = [name, f"{wall[name]:.1f}", f"{processor[name]:.1f}", f"{max(run[2] for run in runs):.0f}"]
        if name in folders:
            size[name] = sum(os.path.getsize(path) for path in glob.glob(os.path.join(folders[name], "*.jpg")))
            cells.append(f"{size[name] / len(pictures) / 1000:.0f}")
            cells += [f"{statistics.mean(one[folders[name], width] for one in found):.4f}" for width in WIDTHS]
        print("| " + " | ".join(cells + ["", "", "", ""][: 8 - len(cells)]) + " |")
    print("\n| ratio | wall | processor |\n|---|---|---|")
    for name in ("libvips", "decode"):
        print(f"| ours to {name} | {wall['ours'] / wall[name]:.2f} | {processor['ours'] / processor[name]:.2f} |")
    print(f"\nours is {size['ours'] / size['libvips'] - 1:+.1%} of libvips in size")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--libvips"]:
        libvips(*sys.argv[2:4])
    else:
        main()
