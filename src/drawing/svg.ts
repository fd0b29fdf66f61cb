import type { Drawing, Ink, Item, Stroke } from "./drawing.ts";

/** Text as it may stand in XML, in an element or a quoted attribute. */
export function escapeXml(words: string): string {
  return words
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;")
    .replace(/'/g, "&#39;");
}

/** Millimetres to a thousandth of a micrometre at most, no trailing zeros. */
const mm = (length: number): string => String(Math.round(length * 1e6) / 1e6 + 0);

const grey = (level: number): string => {
  const byte = Math.round(level * 255);
  return `rgb(${byte},${byte},${byte})`;
};

/** The drawing as SVG 1.1, one user unit = 1 mm, layers as groups in the order in which they are painted. */
export function toSvg(drawing: Drawing): string {
  const [width, height] = [mm(drawing.widthMm), mm(drawing.heightMm)];
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" font-family="DejaVu Sans, sans-serif">`,
    `<title>${escapeXml(drawing.title)}</title>`,
  ];
  let layer = "";
  for (const item of drawing.items) {
    if (item.layer !== layer) {
      if (layer !== "") parts.push("</g>");
      layer = item.layer;
      parts.push(`<g class="${escapeXml(layer)}">`);
    }
    parts.push(element(item, drawing.heightMm));
  }
  if (layer !== "") parts.push("</g>");
  parts.push("</svg>", "");
  return parts.join("\n");
}

const PNG_START = 0x89;

function dataUri(bytes: Uint8Array): string {
  const kind = bytes[0] === PNG_START ? "png" : "jpeg";
  let binary = "";
  for (let i = 0; i < bytes.length; i += 0x8000)
    binary += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return `data:image/${kind};base64,${btoa(binary)}`;
}

function element(item: Item, heightMm: number): string {
  if (item.kind === "image") {
    const [x, y] = [item.at[0], heightMm - item.at[1] - item.heightMm];
    return `<image x="${mm(x)}" y="${mm(y)}" width="${mm(item.widthMm)}" height="${mm(item.heightMm)}" preserveAspectRatio="none" href="${dataUri(item.bytes)}"/>`;
  }
  if (item.kind === "circle") {
    const [x, y] = item.centre;
    return `<circle cx="${mm(x)}" cy="${mm(heightMm - y)}" r="${mm(item.radiusMm)}"${paint(item)}/>`;
  }
  if (item.kind === "path") {
    const steps = item.rings.map(
      (ring) =>
        ring.map(([x, y], i) => `${i === 0 ? "M" : "L"}${mm(x)} ${mm(heightMm - y)}`).join("") +
        (item.closed ? "Z" : ""),
    );
    return `<path d="${steps.join("")}"${paint(item)}/>`;
  }
  const [x, y] = [mm(item.at[0]), mm(heightMm - item.at[1])];
  const anchor = { left: "", centre: ' text-anchor="middle"', right: ' text-anchor="end"' }[item.align];
  const turn = item.turnDeg === 0 ? "" : ` transform="rotate(${mm(-item.turnDeg)} ${x} ${y})"`;
  const weight = item.bold ? ' font-weight="bold"' : "";
  return `<text x="${x}" y="${y}" font-size="${mm(item.sizeMm)}"${weight}${anchor}${turn} fill="${item.ink ?? grey(item.grey)}">${escapeXml(item.text)}</text>`;
}

function paint({ stroke, fillGrey, fillInk }: { stroke?: Stroke; fillGrey?: number; fillInk?: Ink }): string {
  const colour = fillInk ?? (fillGrey === undefined ? undefined : grey(fillGrey));
  const fill = colour === undefined ? ' fill="none"' : ` fill="${colour}" fill-rule="evenodd"`;
  if (!stroke) return fill;
  const dash = stroke.dashMm ? ` stroke-dasharray="${stroke.dashMm.map(mm).join(" ")}"` : "";
  return `${fill} stroke="${stroke.ink ?? grey(stroke.grey)}" stroke-width="${mm(stroke.widthMm)}"${dash}`;
}
