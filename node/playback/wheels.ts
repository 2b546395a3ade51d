import { luminanceOf } from '../light/oklab.ts';
import { besideWhite, type Chosen, type ColourWheel, nearestFilter, openSlot } from '../rig/filters.ts';
import type { FixtureType, Mode } from '../rig/fixture-type.ts';
import { type Inks, inksFor, takesAway } from '../rig/inks.ts';
import { lightThrough } from '../rig/light-parts.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import type { Colour } from './colours.ts';

/** Which slots of colour wheels, or filters, a document's colours come to, asked of each kind of lamp once. */
export class WheelSlots {
  readonly #inks = new Map<FixtureType, Map<Colour, Inks>>();
  readonly #filters = new Map<FixtureType, Map<Mode, Map<Colour, Chosen | undefined>>>();
  readonly #open = new Map<FixtureType, Map<Mode, Map<ColourWheel, number>>>();

  /** The filter that comes nearest in the lamp's own white; undefined where no filter is known. */
  nearest(wanted: Colour, { type, mode }: RigFixture): Chosen | undefined {
    return remembered(remembered(remembered(this.#filters, type), mode), wanted, () => {
      const at = amongFilters(wanted, type);
      return at && nearestFilter(type, mode, at);
    });
  }

  /** Of a lamp that takes colours away how far its filters are in; all of them for black. */
  inks(wanted: Colour, { type }: RigFixture): Inks {
    const known = this.#inks.get(type) ?? new Map<Colour, Inks>();
    this.#inks.set(type, known);
    const at = amongFilters(wanted, type);
    const inks = known.get(wanted) ?? (at === undefined ? DARK : inksFor(...at));
    known.set(wanted, inks);
    return inks;
  }

  /** What share of the light of a lamp without emitters its filters let through in a colour. */
  through(wanted: Colour, fixture: RigFixture, lamp: Lamp): number {
    if (takesAway(lamp)) {
      const [cyan, magenta, yellow] = this.inks(wanted, fixture).inks;
      return luminanceOf(1 - cyan, 1 - magenta, 1 - yellow);
    }
    const filter = this.nearest(wanted, fixture);
    if (filter === undefined || !lamp.cells.has(filter.wheel)) return 1;
    return luminanceOf(...lightThrough(fixture.type.wheels[filter.wheel]?.[filter.slot - 1]));
  }

  /** Slot in which a wheel leaves the light as it is, from 1; 0 where nobody can tell. */
  open(wheel: ColourWheel, { type, mode }: RigFixture): number {
    return remembered(remembered(remembered(this.#open, type), mode), wheel, () => openSlot(type, mode, wheel));
  }
}

/** What a map has under a key, made where it has nothing: another map unless told. */
function remembered<Key, Value>(map: Map<Key, Value>, key: Key, make: () => Value = () => new Map() as Value): Value {
  if (!map.has(key)) map.set(key, make());
  return map.get(key) as Value;
}

const DARK: Inks = { inks: [1, 1, 1], off: 0 };

const amongFilters = ({ at, isBesideWhite }: Colour, type: FixtureType): Colour['at'] =>
  at === undefined || isBesideWhite ? at : besideWhite(at, type);
