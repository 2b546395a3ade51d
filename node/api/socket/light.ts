import type { Published } from '../../core/published.ts';
import type { Millis } from '../../core/units.ts';
import type { CompiledShow } from '../../playback/compile.ts';
import { Picture } from '../../rig/picture.ts';
import type { Picture as PictureMessage, ToRemote } from '../contract.ts';
import { Seeing } from '../seen.ts';

/** A picture as it is told: whole, and by what it differs from the one before. */
export interface ToldPicture {
  /** Counts pictures that differ. */
  readonly number: number;
  readonly whole: string;
  readonly change: string;
}

/** The light of the frames that go out, as phones are told it: one look at a frame for the picture, the words and all phones alike. */
export class Light {
  readonly of: Published;
  readonly show: CompiledShow;
  readonly #picture: Picture;
  readonly #seeing: Seeing;
  readonly #frame: Float64Array;
  #last: PictureMessage = { type: 'picture', colours: [], aims: [] };
  #told: ToldPicture = { number: 0, whole: '', change: '' };

  /** @param before what looked at the light of the show before */
  constructor(show: CompiledShow, of: Published, before?: Light) {
    this.of = of;
    this.show = show;
    this.#picture = new Picture(show.rig);
    this.#seeing = new Seeing(show, before === undefined ? undefined : before.#seeing.hints);
    this.#frame = Float64Array.from(show.rig.rest);
  }

  get picture(): ToldPicture {
    return this.#told;
  }

  look(now: Millis): void {
    if (this.of.frame.count() > 0) this.of.frame.copy(this.#frame);
    const picture: PictureMessage = {
      type: 'picture',
      colours: this.#picture.colours(this.#frame),
      aims: this.#picture.aims(this.#frame),
    };
    this.#seeing.watch(this.#frame, picture.colours, now);
    const colours = changes(this.#last.colours, picture.colours);
    const aims = changes(this.#last.aims, picture.aims);
    if (this.#told.number > 0 && colours.length === 0 && aims.length === 0) return;
    this.#last = picture;
    this.#told = {
      number: this.#told.number + 1,
      whole: JSON.stringify(picture satisfies ToRemote),
      change: JSON.stringify({ type: 'picture-change', colours, aims } satisfies ToRemote),
    };
  }

  /** What is seen, as it is told. */
  inWords(told: Parameters<Seeing['tell']>[3]): string {
    const seen = this.#seeing.tell(this.#frame, this.#last.colours, (place) => this.#picture.strobes(place), told);
    return JSON.stringify(seen satisfies ToRemote);
  }
}

/** Places and values of what is another than before, one after the other. */
function changes(before: readonly number[], after: readonly number[]): number[] {
  return after.flatMap((value, place) => (before[place] === value ? [] : [place, value]));
}
