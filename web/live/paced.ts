/** Who asked for less motion sees what moves go on in steps. */
const CALM_MS = 1000;

/** Paints at the frame after it is asked to, once however often that is; in steps where the system asks for less motion. */
export class Paced {
  private readonly paint: () => void;
  private isAsked = false;
  private lastMs = Number.NEGATIVE_INFINITY;
  private frame = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;

  constructor(paint: () => void) {
    this.paint = paint;
  }

  /** One that is asked for already is never put off. */
  ask(): void {
    if (this.isAsked) return;
    this.isAsked = true;
    const isCalm = matchMedia('(prefers-reduced-motion: reduce)').matches;
    const waitMs = isCalm ? CALM_MS - (performance.now() - this.lastMs) : 0;
    if (waitMs > 0) this.timer = setTimeout(() => this.atNextFrame(), waitMs);
    else this.atNextFrame();
  }

  end(): void {
    clearTimeout(this.timer);
    cancelAnimationFrame(this.frame);
    this.isAsked = true;
  }

  private atNextFrame(): void {
    this.frame = requestAnimationFrame(() => {
      this.isAsked = false;
      this.lastMs = performance.now();
      this.paint();
    });
  }
}
