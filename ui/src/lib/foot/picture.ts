/** Paints what stands as it is seen from an eye, with the sun's shadows; only when something has changed. */
import {
  BufferAttribute, BufferGeometry, Color, DepthTexture, Matrix4, Mesh, OrthographicCamera, PerspectiveCamera, Scene, SRGBColorSpace, Vector3, WebGLRenderer, WebGLRenderTarget,
} from 'three';
import { merged, type Piece } from './glb';
import { depthOnly, paintOf, type Lights, type Surface } from './paint';

/** Pieces that stop at least this share of a view are seen whole; those that stop no more than the last are as thin as glass. */
const WHOLE = 0.95;
const SHADES = 0.45;
const SHEER = 0.3;
const SKY = '#dfe7ea';
const SHADOW_CELLS = 2048;
const FIELD_DEG = 55;
/** Light of the sun and of the sky, in linear red, green and blue. */
const SUN = [1.05, 0.98, 0.82] as const;
const ABOVE = [0.62, 0.66, 0.72] as const;
const BELOW = [0.36, 0.34, 0.29] as const;

export interface Look { x: number; y: number; z: number; bearing: number; pitch: number }

/** Whether the picture is painted by the processor: then its edges are left as they come. */
function bySoftware(): boolean {
  const probe = document.createElement('canvas').getContext('webgl2');
  const named = probe?.getExtension('WEBGL_debug_renderer_info');
  const name = probe && named ? String(probe.getParameter(named.UNMASKED_RENDERER_WEBGL)) : '';
  probe?.getExtension('WEBGL_lose_context')?.loseContext();
  return /swiftshader|llvmpipe|software/i.test(name);
}

export class Picture {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(FIELD_DEG, 16 / 9, 0.08, 400);
  private readonly sunEye = new OrthographicCamera(-1, 1, 1, -1, 1, 2);
  private readonly depth = new WebGLRenderTarget(SHADOW_CELLS, SHADOW_CELLS, { depthTexture: new DepthTexture(SHADOW_CELLS, SHADOW_CELLS) });
  private readonly casting = depthOnly();
  private readonly lights: Lights = {
    sun: { value: new Vector3(0, 1, 0) }, sunlight: { value: new Vector3() }, above: { value: new Vector3(...ABOVE) }, below: { value: new Vector3(...BELOW) },
    far: { value: rgb(SKY) }, shadows: { value: this.depth.depthTexture }, shade: { value: new Matrix4() },
  };
  private readonly paints = { whole: paintOf('whole', this.lights), leafy: paintOf('leafy', this.lights), sheer: paintOf('sheer', this.lights) };
  private meshes: Mesh[] = [];
  private casts = new Set<Mesh>();
  private reach = 30;
  private middle = new Vector3();
  private shaded = false;

  constructor(canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: !bySoftware(), powerPreference: 'low-power' });
    this.scene.background = new Color(SKY);
    this.scene.matrixWorldAutoUpdate = false;
    this.camera.rotation.order = 'YXZ';
  }

  /** Put up what stands: what hides most first, the ground last, so that little is painted twice. */
  stand(pieces: readonly Piece[]): void {
    for (const mesh of this.meshes) {
      this.scene.remove(mesh);
      mesh.geometry.dispose();
    }
    this.casts.clear();
    const groups: [(p: Piece) => boolean, Surface, boolean][] = [
      [(p) => p.id !== '' && p.stops >= WHOLE, 'whole', true],
      [(p) => p.stops < WHOLE && p.stops >= SHADES, 'leafy', true],
      [(p) => p.stops < SHADES && p.stops > SHEER, 'leafy', false],
      [(p) => p.id === '' && p.paint !== 'around', 'whole', true],
      [(p) => p.paint === 'around', 'whole', false],
      [(p) => p.stops <= SHEER, 'sheer', false],
    ];
    this.meshes = groups.flatMap(([of, surface, casts], order) => this.mesh(pieces.filter(of), surface, casts, order));
    if (this.meshes.length) this.scene.add(...this.meshes);
    const ground = pieces.find((p) => p.paint === 'ground');
    if (ground) this.measure(ground.corners);
    this.shaded = false;
  }
  private mesh(pieces: readonly Piece[], surface: Surface, casts: boolean, order: number): Mesh[] {
    if (pieces.length === 0) return [];
    const { corners, normals, colours } = merged(pieces);
    const shape = new BufferGeometry();
    shape.setAttribute('position', new BufferAttribute(corners, 3));
    shape.setAttribute('normal', new BufferAttribute(normals, 3));
    shape.setAttribute('color', new BufferAttribute(colours, 4));
    const mesh = new Mesh(shape, this.paints[surface]);
    mesh.frustumCulled = false;
    mesh.renderOrder = order;
    if (casts) this.casts.add(mesh);
    return [mesh];
  }
  private measure(corners: Float32Array): void {
    const [low, high] = [new Vector3(Infinity, Infinity, Infinity), new Vector3(-Infinity, -Infinity, -Infinity)];
    for (let k = 0; k < corners.length; k += 3) {
      const at = new Vector3(corners[k], corners[k + 1], corners[k + 2]);
      low.min(at);
      high.max(at);
    }
    this.middle = low.clone().add(high).multiplyScalar(0.5);
    this.reach = low.distanceTo(high) / 2 + 4;
  }

  /** Set the sun where it stands (x east, y north, z up); null: none is up. */
  light(towards: readonly [number, number, number] | null): void {
    const [x, y, z] = towards ?? [0, 0, 1];
    const way = new Vector3(x, z, -y).normalize();
    const low = Math.min(1, Math.max(0, z) / 0.35);
    const bright = towards ? 0.45 + 0.55 * low : 0;
    const sky = towards ? 0.7 + 0.3 * low : 0.35;
    this.lights.sun.value.copy(way);
    this.lights.sunlight.value.set(...SUN).multiplyScalar(bright);
    this.lights.above.value.set(...ABOVE).multiplyScalar(sky);
    this.lights.below.value.set(...BELOW).multiplyScalar(sky);
    const far = this.reach * 2;
    this.sunEye.up.set(0, Math.abs(way.y) > 0.99 ? 0 : 1, Math.abs(way.y) > 0.99 ? 1 : 0);
    this.sunEye.position.copy(this.middle).addScaledVector(way, far);
    this.sunEye.lookAt(this.middle);
    [this.sunEye.left, this.sunEye.right, this.sunEye.top, this.sunEye.bottom, this.sunEye.near, this.sunEye.far] = [-this.reach, this.reach, this.reach, -this.reach, 1, far * 2];
    this.sunEye.updateProjectionMatrix();
    this.sunEye.updateMatrixWorld();
    const half = new Matrix4().set(0.5, 0, 0, 0.5, 0, 0.5, 0, 0.5, 0, 0, 0.5, 0.5, 0, 0, 0, 1);
    this.lights.shade.value.copy(half).multiply(this.sunEye.projectionMatrix).multiply(this.sunEye.matrixWorldInverse);
    this.shaded = false;
  }
  /** Reckon the shadows anew: only when what stands, or the sun, has changed. */
  private cast(): void {
    for (const mesh of this.meshes) mesh.visible = this.casts.has(mesh);
    this.scene.overrideMaterial = this.casting;
    this.renderer.setRenderTarget(this.depth);
    this.renderer.clear();
    this.renderer.render(this.scene, this.sunEye);
    this.renderer.setRenderTarget(null);
    this.scene.overrideMaterial = null;
    for (const mesh of this.meshes) mesh.visible = true;
    this.shaded = true;
  }

  size(wide: number, high: number, dense: number): void {
    this.renderer.setPixelRatio(dense);
    this.renderer.setSize(wide, high, false);
    this.camera.aspect = wide / Math.max(high, 1);
    this.camera.fov = this.camera.aspect < 1 ? FIELD_DEG + 12 : FIELD_DEG;
    this.camera.updateProjectionMatrix();
  }
  paint(look: Look): void {
    if (!this.shaded) this.cast();
    this.camera.position.set(look.x, look.z, -look.y);
    this.camera.rotation.set((look.pitch * Math.PI) / 180, (-look.bearing * Math.PI) / 180, 0);
    this.camera.updateMatrixWorld();
    this.renderer.render(this.scene, this.camera);
  }
  /** What is seen now, as a JPEG in a data address. */
  still(look: Look): string {
    this.paint(look);
    return this.renderer.domElement.toDataURL('image/jpeg', 0.9);
  }
  putAway(): void {
    for (const mesh of this.meshes) mesh.geometry.dispose();
    for (const paint of [...Object.values(this.paints), this.casting]) paint.dispose();
    this.depth.depthTexture?.dispose();
    this.depth.dispose();
    this.renderer.dispose();
  }
}

/** A colour as it is shown (sRGB), 0 to 1. */
function rgb(code: string): Vector3 {
  const c = new Color(code).getRGB({ r: 0, g: 0, b: 0 }, SRGBColorSpace);
  return new Vector3(c.r, c.g, c.b);
}
