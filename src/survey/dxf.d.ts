declare module "dxf" {
  interface XY {
    x: number;
    y: number;
  }
  /** Of an entity only what `drawing.ts` reads; everything but `type` may be absent in a file. */
  export interface DxfEntity {
    type: string;
    handle?: string;
    layer?: string;
    visible?: boolean;
    paperSpace?: number;
    extrusionZ?: number;
    x?: number;
    y?: number;
    r?: number;
    startAngle?: number;
    endAngle?: number;
    majorX?: number;
    majorY?: number;
    axisRatio?: number;
    start?: XY;
    end?: XY;
    closed?: boolean;
    polygonMesh?: boolean;
    polyfaceMesh?: boolean;
    vertices?: (XY & { bulge?: number })[];
    corners?: Partial<XY>[];
    controlPoints?: XY[];
    string?: string;
    block?: string;
    scaleX?: number;
    scaleY?: number;
    rotation?: number;
    rowCount?: number;
    columnCount?: number;
    rowSpacing?: number;
    columnSpacing?: number;
  }
  export interface DxfFile {
    header: { insUnits?: number };
    tables: { layers: Record<string, { flags?: number; colorNumber?: number }> };
    blocks: { name?: string; x?: number; y?: number; entities: DxfEntity[] }[];
    entities: DxfEntity[];
  }
  export function parseString(text: string): DxfFile;
  export function toPolylines(file: Pick<DxfFile, "entities" | "blocks" | "tables">): {
    polylines: { vertices: [number, number][] }[];
  };
}
