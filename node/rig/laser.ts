import { attribute, isEmitter } from '../core/attributes.ts';
import type { FixtureTypeInput } from './fixture-type.ts';
import { isLaser } from './is-laser.ts';

type TypeInput = Pick<FixtureTypeInput, 'kind' | 'geometry'>;
type ModeInput = FixtureTypeInput['modes'][number];
type ChannelInput = ModeInput['channels'][number];
type FunctionInput = ChannelInput['functions'][number];

const isIntensity = ({ attribute: name }: FunctionInput): boolean => attribute(name).intensity === true;
const isShutter = ({ attribute: name }: FunctionInput): boolean => name === 'Shutter1';
const emits = ({ attribute: name }: FunctionInput): boolean => isEmitter(name);

/** Whether a function can keep all light in: at its least a dimmer is dark and a shutter closed. */
function closes({ physical = [0, 1], stretches, when }: FunctionInput): boolean {
  if (when !== undefined) return false;
  return stretches === undefined ? Math.min(...physical) <= 0 : stretches.some(({ slot }) => slot === 0);
}

interface Laser {
  readonly type: TypeInput;
  readonly mode: ModeInput;
  /** What a show calls it. */
  readonly use?: string;
}

const known = new WeakMap<ModeInput, boolean>();

/**
 * Whether a fixture may be driven at all: a laser only where a channel of the whole is known to close it, and each laser that it has. Anything else
 * would be a beam that no blackout reaches. A shutter rests open: it will do where it is all that dims the lamp, or where the emitters of the
 * laser are.
 */
export function isDriven({ type, mode, use = '' }: Laser): boolean {
  if (!isLaser({ type, use })) return true;
  const is = known.get(mode) ?? isClosed(type, mode);
  known.set(mode, is);
  return is;
}

function isClosed({ geometry = [] }: TypeInput, { channels, geometry: body }: ModeInput): boolean {
  const has = (is: (one: FunctionInput) => boolean, over: (channel: ChannelInput) => boolean): boolean =>
    channels.some((channel) => over(channel) && channel.functions.some(is));
  const anywhere = (): boolean => true;
  const isClosedBy = (over: (channel: ChannelInput) => boolean): boolean => {
    const whole = (channel: ChannelInput): boolean => channel.part === undefined && over(channel);
    if (has((one) => isIntensity(one) && closes(one), whole)) return true;
    const isDimmed = has(isIntensity, anywhere) || (has(emits, anywhere) && !has(emits, over));
    return !isDimmed && has((one) => isShutter(one) && closes(one), whole);
  };
  const above = new Above(geometry, body);
  const lasers = geometry.flatMap(({ kind }, place) => (kind === 'laser' ? [above.of(place)] : []));
  if (lasers.length === 0) return isClosedBy(anywhere);
  return lasers.every((names) => names === ELSEWHERE || isClosedBy((one) => one.geometry === undefined || names.has(one.geometry)));
}

/** Of a piece that is no part of the mode's body. */
const ELSEWHERE = 'elsewhere';
type Names = ReadonlySet<string>;

/** The pieces of a body that a piece hangs on, itself among them: a channel works on its geometry and what hangs on that (GDTF, DIN SPEC 15800:2022-02). */
class Above {
  readonly #pieces: NonNullable<TypeInput['geometry']>;
  readonly #body: string | undefined;
  readonly #copies = new Map<string, number[]>();
  readonly #known = new Map<number, Names | typeof ELSEWHERE>();

  constructor(pieces: NonNullable<TypeInput['geometry']>, body: string | undefined) {
    this.#pieces = pieces;
    this.#body = body;
    for (const [place, { of }] of pieces.entries())
      if (of !== undefined) this.#copies.set(of, [...(this.#copies.get(of) ?? []), place]);
  }

  /** Their names; where there are several copies of it, those that all of them hang on. */
  of(place: number): Names | typeof ELSEWHERE {
    const known = this.#known.get(place);
    if (known !== undefined) return known;
    // What hangs on itself hangs on nothing else.
    this.#known.set(place, ELSEWHERE);
    const names = this.#lookFor(place);
    this.#known.set(place, names);
    return names;
  }

  #lookFor(place: number): Names | typeof ELSEWHERE {
    const piece = this.#pieces[place];
    if (piece === undefined) return ELSEWHERE;
    if (piece.on !== undefined) {
      const higher = this.of(piece.on);
      return higher === ELSEWHERE ? higher : new Set([...higher, piece.name]);
    }
    if (this.#body === undefined || piece.name === this.#body) return new Set([piece.name]);
    const [first, ...others] = (this.#copies.get(piece.name) ?? []).map((one) => this.of(one)).filter((one) => one !== ELSEWHERE);
    if (first === undefined) return ELSEWHERE;
    return new Set([...[...first].filter((name) => others.every((one) => one.has(name))), piece.name]);
  }
}

/** Said wherever such a laser is patched. */
export const NEEDS_OWN_STOP =
  'nothing is known to close this laser, so it is not driven: it needs a stop of its own, in reach of a person';
