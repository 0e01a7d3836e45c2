/** From where the mould is looked at: dragged, or turned with the arrow keys; words for the direction. */
import { OrthographicCamera, Vector3 } from "three";
import type { Box } from "../types";

const FIRST = { up: 22, near: 1 };
/** So much beside the cut face, in degrees, that the outside is seen too. */
const ROUND = { y: -55, x: -35 };
const STEP = 10; // degrees for one press of a key

/** Eight directions, counter-clockwise from the front; the mould's front is where the cut is. */
const SIDES = ["front", "front right", "right", "back right", "back", "back left", "left", "front left"];

export class Turning {
  readonly camera = new OrthographicCamera();
  private first = ROUND.y;
  private round = ROUND.y;
  private up = FIRST.up;
  private near = FIRST.near;
  private held: { id: number; x: number; y: number } | null = null;

  /** turned : the view changed; ended : and stays so for now */
  constructor(
    canvas: HTMLCanvasElement,
    private readonly turned: () => void,
    private readonly ended: () => void,
  ) {
    canvas.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      this.held = { id: event.pointerId, x: event.clientX, y: event.clientY };
      canvas.setPointerCapture(event.pointerId);
    });
    canvas.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"] as const) {
      canvas.addEventListener(name, () => {
        if (this.held) this.ended();
        this.held = null;
      });
    }
    canvas.addEventListener("wheel", (event) => {
      // Without the focus the wheel rolls the page, as it does everywhere else on it.
      if (document.activeElement !== canvas) return;
      event.preventDefault();
      this.closer(Math.exp(-event.deltaY / 600));
    }, { passive: false });
    canvas.addEventListener("keydown", (event) => this.key(event));
  }

  /** Begin where the cut across this axis is seen; a view that was turned stays. */
  face(axis: "x" | "y"): void {
    if (this.round === this.first) this.round = ROUND[axis];
    this.first = ROUND[axis];
  }

  /** Put the camera so that the whole box is in view. */
  aim(box: Box, wide: number, high: number): void {
    const low = new Vector3(...box[0]);
    const top = new Vector3(...box[1]);
    const middle = low.clone().add(top).multiplyScalar(0.5);
    const size = top.sub(low);
    const reach = size.length() || 1;
    const [round, up] = [(this.round * Math.PI) / 180, (this.up * Math.PI) / 180];
    const way = new Vector3(Math.cos(round) * Math.cos(up), Math.sin(round) * Math.cos(up), Math.sin(up));
    this.camera.up.set(0, 0, 1);
    this.camera.position.copy(middle).addScaledVector(way, 2 * reach);
    this.camera.lookAt(middle);
    // As wide as the box can become when it is turned, so that turning does not make it grow.
    const flat = Math.hypot(size.x, size.y);
    const tall = size.z * Math.cos(up) + flat * Math.abs(Math.sin(up));
    const half = (0.53 * Math.max(tall, (flat * high) / wide)) / this.near;
    this.camera.top = half;
    this.camera.bottom = -half;
    this.camera.left = (-half * wide) / high;
    this.camera.right = (half * wide) / high;
    this.camera.near = 0;
    this.camera.far = 4 * reach;
    this.camera.updateProjectionMatrix();
  }

  get words(): string {
    const at = Math.round(((this.round + 90) / 45 + 16) % 8) % 8;
    const height = this.up > 60 ? "above" : this.up < -10 ? "below" : "";
    return `from the ${SIDES[at]}${height ? `, ${height}` : ""}`;
  }

  private drag(event: PointerEvent): void {
    if (!this.held || event.pointerId !== this.held.id) return;
    this.turn((this.held.x - event.clientX) / 2, (event.clientY - this.held.y) / 2);
    this.held = { id: event.pointerId, x: event.clientX, y: event.clientY };
  }

  private turn(round: number, up: number): void {
    this.round = (((this.round + round) % 360) + 360) % 360;
    this.up = Math.min(89, Math.max(-60, this.up + up));
    this.turned();
  }

  private closer(by: number): void {
    this.near = Math.min(8, Math.max(0.5, this.near * by));
    this.turned();
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const keys: Record<string, () => void> = {
      ArrowLeft: () => this.turn(-STEP, 0),
      ArrowRight: () => this.turn(STEP, 0),
      ArrowUp: () => this.turn(0, STEP),
      ArrowDown: () => this.turn(0, -STEP),
      "+": () => this.closer(1.25),
      "=": () => this.closer(1.25),
      "-": () => this.closer(0.8),
      Home: () => {
        Object.assign(this, FIRST, { round: this.first });
        this.turned();
      },
    };
    const press = keys[event.key];
    if (!press) return;
    event.preventDefault();
    press();
    this.ended();
  }
}
