/** Paints what stands as it is seen from an eye, with the sun's shadows; only when something has changed. */
import {
  BasicShadowMap, BufferAttribute, BufferGeometry, Color, DirectionalLight, Fog, HemisphereLight, Mesh, MeshLambertMaterial, PerspectiveCamera, Scene, WebGLRenderer,
} from 'three';
import { merged, type Piece } from './glb';

/** Pieces that stop at least this share of a view are seen whole; of the others, those that stop this share cast shadows. */
const WHOLE = 0.95;
const SHADES = 0.45;
const SKY = '#dfe7ea';
const SUNLESS = 0.55;
const SHADOW_CELLS = 2048;
const FIELD_DEG = 55;

export interface Look { x: number; y: number; z: number; bearing: number; pitch: number }

export class Picture {
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new PerspectiveCamera(FIELD_DEG, 16 / 9, 0.08, 400);
  private readonly sun = new DirectionalLight('#fff3dc', 2.4);
  private readonly sky = new HemisphereLight('#e8eff5', '#a39c86', 1.5);
  private readonly whole = new MeshLambertMaterial({ vertexColors: true });
  private readonly porous = new MeshLambertMaterial({ vertexColors: true, alphaHash: true });
  private meshes: Mesh[] = [];
  private reach = 30;
  private middle: [number, number, number] = [0, 0, 0];

  constructor(canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: false, powerPreference: 'low-power' });
    this.renderer.shadowMap.enabled = true;
    this.renderer.shadowMap.type = BasicShadowMap;
    this.renderer.shadowMap.autoUpdate = false;
    this.scene.background = new Color(SKY);
    this.scene.fog = new Fog(SKY, 45, 140);
    this.camera.rotation.order = 'YXZ';
    this.sun.castShadow = true;
    this.sun.shadow.mapSize.set(SHADOW_CELLS, SHADOW_CELLS);
    this.sun.shadow.bias = -0.0006;
    this.sun.shadow.normalBias = 0.03;
    this.scene.add(this.sun, this.sun.target, this.sky);
  }

  /** Put up what stands, in three meshes: whole, porous that shades, and thin. */
  stand(pieces: readonly Piece[]): void {
    for (const mesh of this.meshes) {
      this.scene.remove(mesh);
      mesh.geometry.dispose();
    }
    const around = pieces.filter((p) => p.paint === 'around');
    const near = pieces.filter((p) => p.paint !== 'around');
    const groups: [readonly Piece[], boolean, boolean][] = [
      [near.filter((p) => p.stops >= WHOLE), true, true],
      [near.filter((p) => p.stops < WHOLE && p.stops >= SHADES), false, true],
      [near.filter((p) => p.stops < SHADES), false, false],
      [around, true, false],
    ];
    this.meshes = groups.filter(([some]) => some.length > 0).map(([some, whole, casts]) => this.mesh(some, whole, casts));
    this.scene.add(...this.meshes);
    const box = this.meshes[0]?.geometry;
    box?.computeBoundingSphere();
    const ball = box?.boundingSphere;
    if (ball) {
      this.reach = ball.radius + 4;
      this.middle = [ball.center.x, ball.center.y, ball.center.z];
    }
    this.renderer.shadowMap.needsUpdate = true;
  }
  private mesh(pieces: readonly Piece[], whole: boolean, casts: boolean): Mesh {
    const { corners, normals, colours } = merged(pieces);
    const shape = new BufferGeometry();
    shape.setAttribute('position', new BufferAttribute(corners, 3));
    shape.setAttribute('normal', new BufferAttribute(normals, 3));
    shape.setAttribute('color', new BufferAttribute(colours, 4));
    const mesh = new Mesh(shape, whole ? this.whole : this.porous);
    mesh.castShadow = casts;
    mesh.receiveShadow = true;
    mesh.matrixAutoUpdate = false;
    return mesh;
  }

  /** Set the sun where it stands (x east, y north, z up); null: none is up. */
  light(towards: readonly [number, number, number] | null): void {
    const [x, y, z] = towards ?? [0, 0, 1];
    const [mx, my, mz] = this.middle;
    const far = this.reach * 2;
    this.sun.position.set(mx + x * far, my + z * far, mz - y * far);
    this.sun.target.position.set(mx, my, mz);
    this.sun.target.updateMatrixWorld();
    const low = Math.min(1, Math.max(0, z) / 0.35);
    this.sun.intensity = towards ? 0.9 + 1.6 * low : 0;
    this.sky.intensity = towards ? 1.15 + 0.45 * low : SUNLESS;
    const lens = this.sun.shadow.camera;
    [lens.left, lens.right, lens.top, lens.bottom, lens.near, lens.far] = [-this.reach, this.reach, this.reach, -this.reach, 1, far * 2];
    lens.updateProjectionMatrix();
    this.renderer.shadowMap.needsUpdate = true;
  }

  size(wide: number, high: number, dense: number): void {
    this.renderer.setPixelRatio(dense);
    this.renderer.setSize(wide, high, false);
    this.camera.aspect = wide / Math.max(high, 1);
    this.camera.fov = this.camera.aspect < 1 ? FIELD_DEG + 12 : FIELD_DEG;
    this.camera.updateProjectionMatrix();
  }
  paint(look: Look): void {
    this.camera.position.set(look.x, look.z, -look.y);
    this.camera.rotation.set((look.pitch * Math.PI) / 180, (-look.bearing * Math.PI) / 180, 0);
    this.renderer.render(this.scene, this.camera);
  }
  /** What is seen now, as a JPEG in a data address. */
  still(look: Look): string {
    this.paint(look);
    return this.renderer.domElement.toDataURL('image/jpeg', 0.9);
  }
  putAway(): void {
    for (const mesh of this.meshes) mesh.geometry.dispose();
    this.whole.dispose();
    this.porous.dispose();
    this.renderer.dispose();
  }
}
