import type { Drawing, Item, Stroke } from "./drawing.ts";

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

function element(item: Item, heightMm: number): string {
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
  return `<text x="${x}" y="${y}" font-size="${mm(item.sizeMm)}"${weight}${anchor}${turn} fill="${grey(item.grey)}">${escapeXml(item.text)}</text>`;
}

function paint({ stroke, fillGrey }: { stroke?: Stroke; fillGrey?: number }): string {
  const fill = fillGrey === undefined ? ' fill="none"' : ` fill="${grey(fillGrey)}" fill-rule="evenodd"`;
  if (!stroke) return fill;
  const dash = stroke.dashMm ? ` stroke-dasharray="${stroke.dashMm.map(mm).join(" ")}"` : "";
  return `${fill} stroke="${grey(stroke.grey)}" stroke-width="${mm(stroke.widthMm)}"${dash}`;
}
