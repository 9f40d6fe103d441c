/** Reads a binary glTF file as the program writes it: things, each in pieces of one paint. Corners are x east, y up, z south. */
export interface Piece { id: string; name: string; paint: string; rgb: [number, number, number]; stops: number; corners: Float32Array; normals: Float32Array | null; faces: Uint16Array | Uint32Array }

interface Accessor { bufferView: number; count: number; componentType: number }
interface Gltf {
  nodes?: { name: string; mesh: number; extras?: { id?: string } }[];
  meshes?: { primitives: { attributes: { POSITION: number; NORMAL?: number }; indices: number; material: number }[] }[];
  materials?: { name: string; pbrMetallicRoughness: { baseColorFactor: [number, number, number, number] } }[];
  accessors?: Accessor[];
  bufferViews?: { byteOffset: number; byteLength: number }[];
}
const MAGIC = 0x46546c67;
const SHORT = 5123;

export function readGlb(data: ArrayBuffer): Piece[] {
  const view = new DataView(data);
  if (data.byteLength < 20 || view.getUint32(0, true) !== MAGIC) throw new Error('The garden came in a form that can’t be read. Load the page again.');
  const length = view.getUint32(12, true);
  const doc = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 20, length))) as Gltf;
  const start = 20 + length + 8;
  const part = (n: number): [number, Accessor] => {
    const accessor = doc.accessors![n]!;
    return [start + doc.bufferViews![accessor.bufferView]!.byteOffset, accessor];
  };
  const floats = (n: number): Float32Array => {
    const [at, { count }] = part(n);
    return new Float32Array(data, at, 3 * count);
  };
  const whole = (n: number): Uint16Array | Uint32Array => {
    const [at, { count, componentType }] = part(n);
    return componentType === SHORT ? new Uint16Array(data, at, count) : new Uint32Array(data, at, count);
  };
  return (doc.nodes ?? []).flatMap((node) => doc.meshes![node.mesh]!.primitives.map((p) => {
    const { name, pbrMetallicRoughness } = doc.materials![p.material]!;
    const [r, g, b, stops] = pbrMetallicRoughness.baseColorFactor;
    const normals = p.attributes.NORMAL === undefined ? null : floats(p.attributes.NORMAL);
    return { id: node.extras?.id ?? '', name: node.name, paint: name, rgb: [r, g, b] as [number, number, number], stops, corners: floats(p.attributes.POSITION), normals, faces: whole(p.indices) };
  }));
}

export interface Merged { corners: Float32Array; normals: Float32Array; colours: Float32Array }

/** Many pieces as one, each triangle with corners of its own: flat faces where a piece gives no directions. */
export function merged(pieces: readonly Piece[]): Merged {
  const count = pieces.reduce((sum, p) => sum + p.faces.length, 0);
  const out: Merged = { corners: new Float32Array(3 * count), normals: new Float32Array(3 * count), colours: new Float32Array(4 * count) };
  let at = 0;
  for (const piece of pieces) {
    for (let k = 0; k < piece.faces.length; k += 3) {
      for (let c = 0; c < 3; c += 1) {
        const from = 3 * piece.faces[k + c]!;
        for (let d = 0; d < 3; d += 1) {
          out.corners[3 * (at + c) + d] = piece.corners[from + d]!;
          if (piece.normals) out.normals[3 * (at + c) + d] = piece.normals[from + d]!;
        }
        out.colours.set([...piece.rgb, piece.stops], 4 * (at + c));
      }
      if (!piece.normals) flat(out, at);
      at += 3;
    }
  }
  return out;
}

function flat({ corners: p, normals }: Merged, at: number): void {
  const [a, b, c] = [3 * at, 3 * at + 3, 3 * at + 6];
  const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx] as const;
  const long = Math.hypot(...n) || 1;
  for (let k = 0; k < 3; k += 1) normals.set([n[0] / long, n[1] / long, n[2] / long], a + 3 * k);
}
