// The player: one clock for a film. It calls its listeners once a frame and knows nothing of what they draw.

export interface Clock {
  now(): number; // ms
  frame(f: () => void): number;
  stop(id: number): void;
}

export const browserClock: Clock = {
  now: () => performance.now(),
  frame: (f) => requestAnimationFrame(f),
  stop: (id) => cancelAnimationFrame(id),
};

export class Player {
  at = 0; // ms within the film
  lengthMs = 0;
  restMs = 0; // between the end and the next beginning
  loop = true;
  speed = 1;
  playing = false;
  private since = 0;
  private id = 0;
  private frames = new Set<(ms: number) => void>();
  private turns = new Set<() => void>();

  constructor(private clock: Clock = browserClock) {}

  // each calls f at every picture, while playing and when the moment is set by hand.
  each(f: (ms: number) => void): () => void {
    this.frames.add(f);
    f(this.at);
    return () => this.frames.delete(f);
  }

  // turned calls f when it starts or stops.
  turned(f: () => void): () => void {
    this.turns.add(f);
    return () => this.turns.delete(f);
  }

  play() {
    if (this.playing || this.lengthMs <= 0) return;
    if (this.at >= this.lengthMs && !this.loop) this.at = 0;
    this.playing = true;
    this.since = this.clock.now();
    this.tell();
    this.id = this.clock.frame(this.step);
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    this.clock.stop(this.id);
    this.tell();
  }

  toggle() {
    if (this.playing) this.pause();
    else this.play();
  }

  seek(ms: number) {
    this.at = Math.max(0, Math.min(this.lengthMs, ms));
    for (const f of this.frames) f(this.at);
  }

  // load sets a new length; the moment stays when it still exists.
  load(lengthMs: number) {
    this.lengthMs = lengthMs;
    if (this.at > lengthMs) this.at = 0;
    if (lengthMs <= 0) this.pause();
    for (const f of this.frames) f(this.at);
  }

  end() {
    this.pause();
    this.frames.clear();
    this.turns.clear();
  }

  private step = () => {
    const now = this.clock.now();
    this.at += (now - this.since) * this.speed;
    this.since = now;
    const round = this.lengthMs + this.restMs;
    if (this.at >= this.lengthMs) {
      if (!this.loop) {
        this.at = this.lengthMs;
        this.pause();
      } else if (this.at >= round) this.at %= round;
    }
    for (const f of this.frames) f(Math.min(this.at, this.lengthMs));
    if (this.playing) this.id = this.clock.frame(this.step);
  };

  private tell() {
    for (const f of this.turns) f();
  }
}
