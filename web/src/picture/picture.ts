/** The mould in three dimensions, inside its part of the sheet.  It is drawn when something changed, never else. */
import { WebGLRenderer } from "three";
import { make } from "../dom";
import type { Shown } from "../shown";
import type { Air, Cut, Solid } from "../types";
import { Stage } from "./scene";
import { tonesNow } from "./tones";
import { Turning } from "./turning";

export class Picture implements Shown {
  readonly stills = false;
  private readonly stage = new Stage();
  private readonly canvas = make("canvas", { tabindex: "0", role: "img" });
  private readonly renderer: WebGLRenderer;
  private readonly turning: Turning;
  private readonly words = make("ul", { class: "air" });
  private readonly cut = make("input", { type: "checkbox", id: "picture-cut", checked: true });
  private readonly apart = make("input", { type: "range", id: "picture-apart", min: "0", max: "1", step: "0.05", value: "0" });
  private readonly figure: HTMLElement;
  private readonly printed = make("img", { class: "printed", alt: "" });
  private name = "";
  private airMl = 0;
  private size = "";
  private frame = 0;
  private due = 0;
  private waiting: (() => void)[] = [];
  /** Without a graphics card every dot costs time, so there are fewer. */
  private readonly bySoftware = drawnBySoftware();

  /** Raises where the browser has no WebGL. */
  constructor() {
    this.renderer = new WebGLRenderer({ canvas: this.canvas, antialias: !this.bySoftware, stencil: true });
    this.renderer.localClippingEnabled = true;
    // Asking after every shader makes the browser wait for the compiler.
    this.renderer.debug.checkShaderErrors = false;
    this.turning = new Turning(this.canvas, () => this.draw(), () => this.describe());
    this.figure = make(
      "figure",
      { class: "picture", "data-ours": true, "data-frame": "0" },
      this.canvas,
      this.printed,
      make(
        "figcaption",
        {},
        make("span", { class: "screen" }, "Drag it, or turn it with the arrow keys; plus and minus bring it nearer, Home puts it back."),
        make("span", { class: "paper" }, "The mould as it stood on the screen."),
      ),
      make(
        "p",
        { class: "pose screen" },
        make("label", {}, this.cut, " cut through the axis"),
        make("label", {}, "together ", this.apart, " apart"),
      ),
      this.words,
    );
    this.apart.setAttribute("aria-label", "how far the parts are apart");
    for (const input of [this.cut, this.apart]) {
      input.addEventListener("input", () => this.pose());
    }
    new ResizeObserver(() => this.draw()).observe(this.figure);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.draw());
    this.canvas.addEventListener("webglcontextrestored", () => this.draw());
    this.describe();
  }

  place(section: HTMLElement): void {
    section.hidden = false;
    const before = section.querySelector('[data-slot="section"], [data-slot="stills"], table');
    if (this.figure.parentElement === section && (!before || this.figure.nextElementSibling === before)) return;
    section.insertBefore(this.figure, before);
  }

  solids(solids: Solid[] | null, name: string, cut: Cut | undefined): void {
    this.name = name;
    if (solids) {
      const across = cut ?? { axis: "y", at: 0 };
      this.stage.solids(solids, across);
      this.turning.face(across.axis);
      this.figure.hidden = solids.length === 0;
      const section = this.figure.closest("section");
      if (section && solids.length) section.hidden = false;
    }
    this.describe();
    this.draw();
  }

  air(air: Air[]): void {
    this.stage.shutIn(air);
    this.airMl = air.reduce((sum, one) => sum + one.ml, 0);
    const said = [...new Set(air.map((one) => one.words).filter(Boolean))];
    this.words.replaceChildren(...said.map((one) => make("li", {}, one)));
    this.describe();
    this.draw();
  }

  drawn(then: () => void): void {
    this.waiting.push(then);
    this.draw();
  }

  /** The picture in the colours of paper, for printing. */
  print(): void {
    this.render();
    this.printed.src = this.canvas.toDataURL();
    this.printed.alt = this.canvas.getAttribute("aria-label") ?? "";
  }

  private pose(): void {
    this.stage.pose(this.cut.checked, Number(this.apart.value));
    this.describe();
    this.draw();
  }

  private draw(): void {
    if (this.due) return;
    this.due = requestAnimationFrame(() => {
      this.due = 0;
      this.render();
      const then = this.waiting;
      this.waiting = [];
      if (then.length === 0) return;
      void this.finished().then(() => {
        for (const one of then) one();
      });
    });
  }

  /** Settles when the graphics have drawn all that they were told to. */
  private async finished(): Promise<void> {
    const gl = this.renderer.getContext() as WebGL2RenderingContext;
    const fence = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    gl.flush();
    // Behind the frame that it was drawn for: what the page itself has to do is done.
    await new Promise<unknown>((then) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = then;
      port2.postMessage(0);
    });
    performance.clearMarks("given");
    performance.mark("given");
    while (fence && !gl.isContextLost() && gl.getSyncParameter(fence, gl.SYNC_STATUS) === gl.UNSIGNALED) {
      await new Promise((then) => setTimeout(then, 1));
    }
    gl.deleteSync(fence);
  }

  private render(): void {
    const wide = this.figure.clientWidth;
    if (wide === 0) return;
    const high = Math.round(Math.min(wide * 0.75, 460));
    const scale = Math.min(window.devicePixelRatio, 2) * (this.bySoftware ? 0.75 : 1);
    const size = `${wide} ${high} ${scale}`;
    if (size !== this.size) {
      this.size = size;
      this.renderer.setPixelRatio(scale);
      this.renderer.setSize(wide, high);
    }
    this.turning.aim(this.stage.reach, wide, high);
    this.stage.colour(tonesNow(), scale);
    this.renderer.render(this.stage.scene, this.turning.camera);
    this.frame += 1;
    this.figure.dataset["frame"] = String(this.frame);
  }

  /** What is seen, for whoever does not see it. */
  private describe(): void {
    const names = this.stage.names;
    const last = names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : (names[0] ?? "nothing yet");
    const far = Number(this.apart.value);
    const posed = far === 0 ? "put together" : far === 1 ? "apart" : "partly apart";
    const cut = this.cut.checked ? "cut through the axis, " : "";
    const air = this.airMl > 0 ? ` Air stays shut in: ${this.airMl.toFixed(1)} ml.` : "";
    this.canvas.setAttribute("aria-label", `The mould of ${this.name || "the job"}: ${last}, ${cut}${posed}, seen ${this.turning.words}.${air}`);
  }
}

/** Whether there is no graphics card: smoothing edges then takes as long as all the rest. */
function drawnBySoftware(): boolean {
  const gl = document.createElement("canvas").getContext("webgl2");
  const told = gl?.getExtension("WEBGL_debug_renderer_info");
  const name = gl && told ? String(gl.getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  gl?.getExtension("WEBGL_lose_context")?.loseContext();
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}
