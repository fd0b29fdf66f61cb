import {
  DxfWriter,
  LWPolylineFlags,
  TextHorizontalAlignment,
  TextVerticalAlignment,
  Units,
  point2d,
  point3d,
} from "@tarikjabiri/dxf";
import type { PointMm } from "../geometry/types.ts";
import { CAP_HEIGHT, GREY, type Drawing, type TextItem } from "./drawing.ts";
import { oneLine } from "./words.ts";

/** AutoCAD colour index 7 (black on white, white on black) and 8 (grey). */
const INK = 7;
const FAINT = 8;

/** `%%` and `\U+` begin commands in DXF text, `^` a control character: a blank after the sign makes it plain text. */
export function dxfText(words: string): string {
  return oneLine(words).replace(/%%/g, "% % ").replace(/\\/g, "/").replace(/\^/g, "^ ");
}

/**
 * The drawing as DXF R2007 (AC1021, UTF-8) in millimetres, counted from the drawing's own zero (the tile's
 * datum). Filled circles stay circles, so the layers HOLES-... hold each hole at its strand's diameter.
 */
export function toDxf(drawing: Drawing): string {
  const dxf = new DxfWriter();
  dxf.setUnits(Units.Millimeters);
  const [zeroX, zeroY] = drawing.zeroMm;
  const point = ([x, y]: PointMm) => point3d(micro(x - zeroX), micro(y - zeroY), 0);
  const layers = new Set<string>();
  for (const item of drawing.items) {
    // White areas only hide what lies beneath on paper.
    if (item.kind === "image") continue;
    if (item.kind !== "text" && item.fillGrey === GREY.white && !item.stroke) continue;
    if (!layers.has(item.layer)) {
      layers.add(item.layer);
      dxf.addLayer(item.layer, INK, "Continuous");
    }
    const level = item.kind === "text" ? item.grey : (item.stroke?.grey ?? item.fillGrey ?? 0);
    const common = { layerName: item.layer, ...(level > GREY.mid ? { colorNumber: FAINT } : {}) };
    if (item.kind === "circle") dxf.addCircle(point(item.centre), item.radiusMm, common);
    else if (item.kind === "text") addText(dxf, item, point(item.at), common);
    else
      for (const ring of item.rings) {
        if (ring.length === 2) dxf.addLine(point(ring[0]!), point(ring[1]!), common);
        else
          dxf.addLWPolyline(
            ring.map(([x, y]) => ({ point: point2d(micro(x - zeroX), micro(y - zeroY)) })),
            { ...common, flags: item.closed ? LWPolylineFlags.Closed : LWPolylineFlags.None },
          );
      }
  }
  return dxf.stringify();
}

/** To a millionth of a millimetre: leaves no tail of a binary fraction in the file. */
const micro = (length: number): number => Math.round(length * 1e6) / 1e6 + 0;

function addText(
  dxf: DxfWriter,
  item: TextItem,
  at: ReturnType<typeof point3d>,
  common: { layerName: string; colorNumber?: number },
): void {
  const words = dxfText(item.text);
  if (words === "") return;
  dxf.addText(at, micro(item.sizeMm * CAP_HEIGHT), words, {
    ...common,
    rotation: item.turnDeg,
    ...(item.align === "left"
      ? {}
      : {
          horizontalAlignment:
            item.align === "centre" ? TextHorizontalAlignment.Center : TextHorizontalAlignment.Right,
          verticalAlignment: TextVerticalAlignment.BaseLine,
          secondAlignmentPoint: at,
        }),
  });
}
