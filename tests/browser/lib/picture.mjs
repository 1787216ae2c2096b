// Pictures that are made where they are needed: a plain field with a circle, drawn by the browser.

/** `kind` is png or jpeg. What comes back can be put into a field for files. */
export async function drawnPicture(page, kind, colour, [width, height] = [900, 600]) {
  const data = await page.evaluate(([kind, colour, width, height]) => {
    const canvas = Object.assign(document.createElement('canvas'), { width, height });
    const brush = canvas.getContext('2d');
    brush.fillStyle = colour;
    brush.fillRect(0, 0, width, height);
    brush.fillStyle = '#f3efe6';
    brush.beginPath();
    brush.arc(width / 2, height / 2, height / 4, 0, 7);
    brush.fill();
    return canvas.toDataURL(`image/${kind}`, 0.9).split(',')[1];
  }, [kind, colour, width, height]);
  return { name: `camera ${colour.slice(1)}.${kind === 'jpeg' ? 'JPG' : kind}`, mimeType: `image/${kind}`, buffer: Buffer.from(data, 'base64') };
}
