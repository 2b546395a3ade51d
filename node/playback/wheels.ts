import { luminanceOf } from '../light/oklab.ts';
import { besideWhite, nearestFilter, openSlot } from '../rig/filters.ts';
import type { FixtureType, Mode } from '../rig/fixture-type.ts';
import { type Inks, inksFor, takesAway } from '../rig/inks.ts';
import { lightThrough } from '../rig/light-parts.ts';
import type { Lamp, RigFixture } from '../rig/rig.ts';
import type { Colour } from './colours.ts';

/** Which slots of colour wheels, or filters, a document's colours come to, asked of each kind of lamp once. */
export class WheelSlots {
  readonly #inks = new Map<FixtureType, Map<Colour, Inks>>();
  readonly #known = new Map<FixtureType, Map<Mode, Map<Colour | 'open 1' | 'open 2', number>>>();

  /** Slot of the filter that comes nearest in the lamp's own white, from 1; 0 where no filter is known. */
  nearest(wanted: Colour, { type, mode }: RigFixture): number {
    return this.#remembered(type, mode, wanted, () => {
      const at = amongFilters(wanted, type);
      return at === undefined ? 0 : nearestFilter(type, mode, at);
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
    const slot = lamp.cells.has('Color1') ? this.nearest(wanted, fixture) : 0;
    return luminanceOf(...lightThrough(fixture.type.wheels.Color1?.[slot - 1]?.colour));
  }

  /** Slot in which a wheel leaves the light as it is, from 1; 0 where nobody can tell. */
  open(wheel: 'Color1' | 'Color2', { type, mode }: RigFixture): number {
    return this.#remembered(type, mode, wheel === 'Color1' ? 'open 1' : 'open 2', () => openSlot(type, mode, wheel));
  }

  #remembered(type: FixtureType, mode: Mode, what: Colour | 'open 1' | 'open 2', make: () => number): number {
    const modes = this.#known.get(type) ?? new Map<Mode, Map<Colour | 'open 1' | 'open 2', number>>();
    this.#known.set(type, modes);
    const slots = modes.get(mode) ?? new Map<Colour | 'open 1' | 'open 2', number>();
    modes.set(mode, slots);
    const slot = slots.get(what) ?? make();
    slots.set(what, slot);
    return slot;
  }
}

const DARK: Inks = { inks: [1, 1, 1], off: 0 };

const amongFilters = ({ at, isBesideWhite }: Colour, type: FixtureType): Colour['at'] =>
  at === undefined || isBesideWhite ? at : besideWhite(at, type);
