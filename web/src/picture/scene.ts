/** What is in the picture: the solids with their edges and cut faces, and air that stays shut in. */
import {
  AmbientLight, BufferAttribute, BufferGeometry, DirectionalLight, Group, LineBasicMaterial, LineSegments, Mesh,
  MeshBasicMaterial, MeshLambertMaterial, Plane, Scene, Vector3,
} from "three";
import type { Air, Box, Cut, Solid } from "../types";
import { CutFace } from "./cut";
import type { Tones } from "./tones";

interface Part {
  solid: Solid;
  group: Group;
  mesh: Mesh<BufferGeometry, MeshLambertMaterial>;
  lines: LineSegments<BufferGeometry, LineBasicMaterial>;
  cut: CutFace;
}

const plainGeometry = (positions: Float32Array, faces?: Uint32Array): BufferGeometry => {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(positions, 3));
  if (faces) geometry.setIndex(new BufferAttribute(faces, 1));
  return geometry;
};

export class Stage {
  readonly scene = new Scene();
  /** What lies nearer than this, as the picture begins, is taken away. */
  private readonly plane = new Plane(new Vector3(0, 1, 0), 0);
  private across: Cut = { axis: "y", at: 0 };
  private parts: Part[] = [];
  private air: Mesh<BufferGeometry, MeshBasicMaterial>[] = [];
  /** Seen through the walls: it is what the maker has to know of. */
  private readonly airMaterial = new MeshBasicMaterial({ transparent: true, opacity: 0.75, depthTest: false });
  private cut = true;
  private apart = 0;
  box: Box = [[-1, -1, -1], [1, 1, 1]];

  constructor() {
    const above = new DirectionalLight(0xffffff, 1.6);
    above.position.set(-0.4, -1, 1.2);
    const beside = new DirectionalLight(0xffffff, 0.7);
    beside.position.set(1, 0.6, 0.3);
    this.scene.add(new AmbientLight(0xffffff, 1.3), above, beside);
  }

  /**
   * Swap the solids for others.  Their arrays are let go; materials stay, because another one would
   * have its shaders compiled anew, which takes longer than everything else of an edit.
   */
  solids(solids: Solid[], across: Cut): void {
    this.across = across;
    if (across.axis === "y") this.plane.set(new Vector3(0, 1, 0), -across.at);
    else this.plane.set(new Vector3(-1, 0, 0), across.at);
    for (const part of this.parts.splice(solids.length)) this.drop(part);
    solids.forEach((solid, at) => {
      const part = this.parts[at];
      if (part) this.swap(part, solid);
      else this.parts.push(this.add(solid, at));
    });
    this.box = around(solids);
    this.lay();
  }

  get names(): string[] {
    return this.parts.map((part) => part.solid.name);
  }

  shutIn(air: Air[]): void {
    for (const mesh of this.air) {
      mesh.removeFromParent();
      mesh.geometry.dispose();
    }
    this.air = air.map((one) => {
      const mesh = new Mesh(plainGeometry(one.positions, one.faces), this.airMaterial);
      mesh.renderOrder = 1000;
      this.scene.add(mesh);
      return mesh;
    });
  }

  /** cut : half of it taken away; apart : 0 as it is poured, 1 with its parts clear of each other */
  pose(cut: boolean, apart: number): void {
    this.cut = cut;
    this.apart = apart;
    this.lay();
  }

  /** Corners of what is seen with the parts as far apart as they can be. */
  get reach(): Box {
    const [low, high] = [[...this.box[0]], [...this.box[1]]] as Box;
    for (const { solid } of this.parts) {
      solid.move.forEach((by, axis) => {
        low[axis] = Math.min(low[axis]!, this.box[0][axis]! + by * this.apart);
        high[axis] = Math.max(high[axis]!, this.box[1][axis]! + by * this.apart);
      });
    }
    return [low, high];
  }

  colour(tones: Tones, scale: number): void {
    this.scene.background = tones.ground;
    for (const part of this.parts) {
      part.mesh.material.color = tones.part[part.solid.role];
      part.lines.material.color = tones.line;
      part.cut.colour(part.solid.role, tones.part[part.solid.role], tones.line, scale);
    }
    this.airMaterial.color = tones.air;
  }

  private add(solid: Solid, at: number): Part {
    const geometry = plainGeometry(solid.positions, solid.faces);
    // Faces are told apart by how they lie to the light, so no normals have to be sent.
    const material = new MeshLambertMaterial({ flatShading: true, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 });
    const part: Part = {
      solid,
      group: new Group(),
      mesh: new Mesh(geometry, material),
      lines: new LineSegments(plainGeometry(solid.edges), new LineBasicMaterial()),
      cut: new CutFace(geometry, this.plane, at),
    };
    part.mesh.renderOrder = at;
    part.lines.renderOrder = at;
    part.group.add(part.mesh, part.lines, part.cut.counters);
    this.scene.add(part.group, part.cut.face);
    return part;
  }

  private swap(part: Part, solid: Solid): void {
    part.mesh.geometry.dispose();
    part.lines.geometry.dispose();
    part.solid = solid;
    part.mesh.geometry = plainGeometry(solid.positions, solid.faces);
    part.lines.geometry = plainGeometry(solid.edges);
    part.cut.swap(part.mesh.geometry);
  }

  private lay(): void {
    const [low, high] = this.reach;
    const middle = low.map((one, axis) => (one + high[axis]!) / 2) as [number, number, number];
    const size = 2 * Math.max(...low.map((one, axis) => high[axis]! - one), 1);
    for (const { solid, group, mesh, lines, cut } of this.parts) {
      group.position.set(...(solid.move.map((by) => by * this.apart) as [number, number, number]));
      cut.show(this.cut);
      cut.lay(this.across, middle, size);
      const planes = this.cut ? [this.plane] : [];
      if (mesh.material.clippingPlanes?.length !== planes.length) {
        mesh.material.clippingPlanes = planes;
        lines.material.clippingPlanes = planes;
      }
    }
  }

  private drop(part: Part): void {
    part.group.removeFromParent();
    part.cut.face.removeFromParent();
    part.cut.dispose();
    part.mesh.geometry.dispose();
    part.mesh.material.dispose();
    part.lines.geometry.dispose();
    part.lines.material.dispose();
  }
}

function around(solids: Solid[]): Box {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (const { positions } of solids) {
    for (let i = 0; i < positions.length; i += 1) {
      const axis = i % 3;
      const at = positions[i]!;
      if (at < low[axis]!) low[axis] = at;
      if (at > high[axis]!) high[axis] = at;
    }
  }
  return solids.length ? [low, high] : [[-1, -1, -1], [1, 1, 1]];
}
