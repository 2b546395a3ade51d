import { blackout as blackoutGuard } from '../../../node/guards/blackout.ts';
import { flash } from '../../../node/guards/flash/flash.ts';
import type { FlashMemory } from '../../../node/guards/flash/memory.ts';
import type { Guard, Instant } from '../../../node/guards/guard.ts';
import { compileShow } from '../../../node/playback/compile.ts';
import { type LampLight, lampLights } from '../../../node/rig/light-of.ts';
import type { Rig } from '../../../node/rig/rig.ts';
import type { Show } from '../../../node/show/document.ts';
import { ordinary } from '../../helpers/ordinary.ts';
import type { Shown } from './count.ts';

/** What a frame asks for: it sets cells of a frame at rest. */
export type Asks = (frame: Float64Array, now: number) => void;

/** What every light shows over time: lamps by `fixture part`, uses by their name, and `all`. */
export type Lights = Map<string, Shown[]>;

/** Frames on their way through the flash guard and the blackout behind it, with all that went in and came out. */
export class Evening {
  readonly rig: Rig;
  readonly asked: Lights = new Map();
  readonly shown: Lights = new Map();
  readonly frames: Float64Array[] = [];
  /** How many frames were changed. */
  acted = 0;
  guard: Guard<FlashMemory>;
  memory: FlashMemory;
  readonly #blackout: Guard<undefined>;
  readonly #lamps: LampLight[];

  constructor(show: Show) {
    const compiled = compileShow(show);
    this.rig = compiled.rig;
    this.guard = flash(compiled, this.rig);
    this.memory = this.guard.memory();
    this.#blackout = blackoutGuard(compiled, this.rig);
    this.#lamps = lampLights(this.rig);
  }

  cell(fixture: string, attribute: string, part = 0): number {
    const cell = this.rig.byId.get(fixture)?.lamps[part]?.cells.get(attribute as never);
    if (cell === undefined) throw new Error(`${fixture} has no ${attribute}`);
    return cell;
  }

  frame(now: number, ask: Asks, instant: Partial<Instant> = {}): Float64Array {
    const frame = Float64Array.from(this.rig.rest);
    ask(frame, now);
    this.#note(this.asked, frame, now);
    const all: Instant = { ...ordinary, now, ...instant };
    if (this.guard.step(frame, all, this.memory)) this.acted++;
    this.#blackout.step(frame, all, undefined);
    this.#note(this.shown, frame, now);
    this.frames.push(frame);
    return frame;
  }

  /** Frames every 25 ms from one instant to the other, the latter not counted. */
  run(from: number, to: number, ask: Asks, instant: (now: number) => Partial<Instant> = () => ({})): this {
    for (let now = from; now < to; now += 25) this.frame(now, ask, instant(now));
    return this;
  }

  /** The evening has been dark and quiet: what was unknown at its start counts no more. Of what was noted the last frame stays. */
  atEase(): this {
    this.run(-2000, 0, () => undefined);
    for (const lights of [this.asked, this.shown]) for (const light of lights.values()) light.splice(0, light.length - 1);
    this.frames.splice(0, this.frames.length - 1);
    this.acted = 0;
    return this;
  }

  #note(lights: Lights, frame: Float64Array, now: number): void {
    const together = new Map<string, { rgb: [number, number, number]; fixtures: Set<number> }>();
    for (const lamp of this.#lamps) {
      lamp.look(frame);
      const fixture = this.rig.fixtures[lamp.fixture];
      const rgb = [...lamp.light] as [number, number, number];
      push(lights, `${fixture?.id} ${lamp.part}`, { at: now, rgb });
      for (const name of [fixture?.use ?? '', 'all']) {
        const sum = together.get(name) ?? { rgb: [0, 0, 0], fixtures: new Set() };
        together.set(name, sum);
        sum.fixtures.add(lamp.fixture);
        for (let i = 0; i < 3; i++) sum.rgb[i] = (sum.rgb[i] ?? 0) + (rgb[i] ?? 0) * lamp.share;
      }
    }
    for (const [name, { rgb, fixtures }] of together) {
      const [r, g, b] = rgb.map((part) => part / fixtures.size);
      push(lights, name, { at: now, rgb: [r ?? 0, g ?? 0, b ?? 0] });
    }
  }
}

function push(lights: Lights, name: string, shown: Shown): void {
  const list = lights.get(name) ?? [];
  lights.set(name, list);
  list.push(shown);
}

/** IEC 61966-2-1. */
export const luminance = ({ rgb: [r, g, b] }: Shown): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;
