/**
 * Cut faces: where a plane goes through closed solids, a flat face is drawn with hatching.
 *
 * Back faces add to the stencil and front faces take away from it, so what is left beyond the
 * plane is the inside of the solid; the face is drawn there and nowhere else.
 */
import {
  AlwaysStencilFunc, BackSide, type BufferGeometry, type Color, DecrementWrapStencilOp, DoubleSide, FrontSide,
  Group, IncrementWrapStencilOp, Mesh, MeshBasicMaterial, NotEqualStencilFunc, type Plane, PlaneGeometry,
  ShaderMaterial, type Side, type StencilOp, ZeroStencilOp,
} from "three";
import type { Cut, Role } from "../types";

/** Direction and spacing of the hatching in points of the screen, so that no part is told by its colour alone. */
const HATCH: Record<Role, { x: number; y: number; every: number }> = {
  body: { x: 1, y: 1, every: 7 },
  lid: { x: 1, y: -1, every: 7 },
  insert: { x: 0, y: 1, every: 12 },
  other: { x: 1, y: 0, every: 5 },
};

const VERTEX = `
void main() { gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`;

const FRAGMENT = `
uniform vec3 tone; uniform vec3 line; uniform vec2 way; uniform float every; uniform float scale;
void main() {
  float along = dot(gl_FragCoord.xy, way) / scale;
  float near = abs(fract(along / every) - 0.5) * every;
  gl_FragColor = vec4(mix(line, tone, smoothstep(0.4, 1.1, near)), 1.0);
  #include <colorspace_fragment>
}`;

const counting = (side: Side, op: StencilOp, plane: Plane): MeshBasicMaterial =>
  new MeshBasicMaterial({
    side, clippingPlanes: [plane], colorWrite: false, depthWrite: false, depthTest: false,
    stencilWrite: true, stencilFunc: AlwaysStencilFunc, stencilFail: op, stencilZFail: op, stencilZPass: op,
  });

export class CutFace {
  readonly counters = new Group();
  readonly face: Mesh<PlaneGeometry, ShaderMaterial>;
  private readonly meshes: Mesh<BufferGeometry, MeshBasicMaterial>[];

  /** order : of this solid among the others; they are drawn one after another */
  constructor(geometry: BufferGeometry, plane: Plane, order: number) {
    this.meshes = [
      new Mesh(geometry, counting(BackSide, IncrementWrapStencilOp, plane)),
      new Mesh(geometry, counting(FrontSide, DecrementWrapStencilOp, plane)),
    ];
    for (const mesh of this.meshes) mesh.renderOrder = order + 0.1;
    this.counters.add(...this.meshes);
    const material = new ShaderMaterial({
      vertexShader: VERTEX,
      fragmentShader: FRAGMENT,
      uniforms: {
        tone: { value: null }, line: { value: null }, way: { value: [1, 0] }, every: { value: 7 }, scale: { value: 1 },
      },
      side: DoubleSide,
      stencilWrite: true, stencilRef: 0, stencilFunc: NotEqualStencilFunc,
      // What was drawn is nothing again for the next solid.
      stencilFail: ZeroStencilOp, stencilZFail: ZeroStencilOp, stencilZPass: ZeroStencilOp,
    });
    this.face = new Mesh(new PlaneGeometry(1, 1), material);
    this.face.renderOrder = order + 0.2;
  }

  /** Another solid is cut from now on. */
  swap(geometry: BufferGeometry): void {
    for (const mesh of this.meshes) mesh.geometry = geometry;
  }

  /** Lay the face into the plane of the section, as large as everything that is shown. */
  lay({ axis, at }: Cut, middle: [number, number, number], size: number): void {
    const upright = axis === "y";
    this.face.rotation.set(upright ? Math.PI / 2 : 0, upright ? 0 : Math.PI / 2, 0);
    this.face.position.set(upright ? middle[0] : at, upright ? at : middle[1], middle[2]);
    this.face.scale.setScalar(size);
  }

  colour(role: Role, tone: Color, line: Color, scale: number): void {
    const { x, y, every } = HATCH[role];
    const length = Math.hypot(x, y);
    const { uniforms } = this.face.material;
    uniforms["tone"]!.value = tone;
    uniforms["line"]!.value = line;
    uniforms["way"]!.value = [x / length, y / length];
    uniforms["every"]!.value = every;
    uniforms["scale"]!.value = scale;
  }

  show(shown: boolean): void {
    this.counters.visible = shown;
    this.face.visible = shown;
  }

  dispose(): void {
    for (const mesh of this.meshes) mesh.material.dispose();
    this.face.material.dispose();
    this.face.geometry.dispose();
  }
}
