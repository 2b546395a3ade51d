import { Levels } from '../../node/core/levels.ts';
import type { Link, Output, OutputHost } from '../../node/core/ports.ts';
import type { Byte, Millis, Universe } from '../../node/core/units.ts';
import { FakeClock } from './fake-clock.ts';
import { RecordingUdp, type SentDatagram } from './recording-udp.ts';

/** The engine's frame period at its default of 40 frames a second. */
const FRAME: Millis = 25;
/** The engine tends to outputs so often where frames come less often. */
const TEND: Millis = 100;

/** An output on a network in memory, driven as the engine drives it. */
export class OutputRig {
  readonly clock = new FakeClock();
  readonly network = new RecordingUdp(this.clock);
  readonly levels: Levels;
  readonly output: Output;
  /** What `flush` returned, added up. */
  packets = 0;

  constructor(build: (host: OutputHost) => Output, universes: readonly Universe[] = [1, 2]) {
    this.levels = new Levels(universes);
    this.output = build(this.network.host);
  }

  /** Links up, universes carried, as at the engine's start. */
  start(links: readonly Link[], universes = this.levels.universes): this {
    this.relink(links);
    this.output.carry(universes, this.clock.now());
    return this;
  }

  relink(links: readonly Link[]): void {
    this.output.relink(links, this.clock.now());
  }

  set(universe: Universe, slot: number, value: Byte): void {
    this.levels.slots(universe)[slot - 1] = value;
  }

  /** One frame later. @returns the datagrams that it sent, and those that were due before it. */
  frame(step: Millis = FRAME): SentDatagram[] {
    const at = this.clock.now() + step;
    for (let wake = this.#wake(); wake < at; wake = this.#wake()) {
      this.clock.advance(wake - this.clock.now());
      this.packets += this.output.tend(this.clock.now());
      this.network.turn();
    }
    return this.stall(at - this.clock.now());
  }

  /** A frame that comes after the engine has stood still. */
  stall(millis: Millis): SentDatagram[] {
    this.clock.advance(millis);
    this.packets += this.output.flush(this.levels, this.clock.now());
    this.network.turn();
    return this.network.take();
  }

  /** Frames for so long; `step` gives each period. @returns all datagrams that they sent. */
  frames(millis: Millis, step: () => Millis = () => FRAME): SentDatagram[] {
    const until = this.clock.now() + millis;
    const sent: SentDatagram[] = [];
    while (this.clock.now() < until) sent.push(...this.frame(step()));
    return sent;
  }

  /** When the engine would tend to the output next. */
  #wake(): Millis {
    return Math.min(this.output.dueAt, this.clock.now() + TEND);
  }

  stop(): SentDatagram[] {
    this.output.stop(this.clock.now());
    this.network.turn();
    return this.network.take();
  }
}
