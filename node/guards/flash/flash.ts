import type { Frame } from '../../core/frame.ts';
import { HIGHEST_FLASHES } from '../../core/limits.ts';
import { clampLevel, type Hertz, MILLIS_PER_SECOND, type Millis } from '../../core/units.ts';
import { luminanceOf } from '../../light/oklab.ts';
import { isLaser } from '../../rig/is-laser.ts';
import { SEEN } from '../../rig/light-law.ts';
import { type LampLight, lampLights, litFixtures } from '../../rig/light-of.ts';
import type { Rig } from '../../rig/rig.ts';
import { type Amount, amountsOf } from '../amounts.ts';
import { darken } from '../blackout.ts';
import { force, type Grouped, type Guard, type Instant } from '../guard.ts';
import { hasRoom } from './changes.ts';
import { breach, follow, newRow, turnAt } from './luminance.ts';
import { begin, type FlashMemory, getToKnow, memoryFor } from './memory.ts';
import { followRed, mayTurnRed, redOf, turnsRed } from './red.ts';
import { followRedLevel, mayRedden, redTurnAt } from './red-level.ts';
import { Sight } from './sight.ts';
import { Beats, changesOf, followRate } from './strobes.ts';

/** In how much time light rises that comes back from a blackout, or of which nothing is known. */
const RISE: Millis = 300;
/** A frame that still breaks a limit after so many looks is held as a whole. */
const MOST_LOOKS = 4;

/** Lamps that are seen together: those of a use, or all. */
interface Together {
  /** Its place among the lights. */
  readonly light: number;
  readonly lamps: Uint32Array;
  /** What each of them is of the light of all of them at full. */
  readonly shares: Float64Array;
}

interface Unit {
  readonly amounts: readonly Amount[];
  readonly lamps: Uint32Array;
  readonly isLaser: boolean;
}

/**
 * Keeps every lamp, every use and all lamps together from flashing more often than the limit, from whatever it comes: levels, colours, hits,
 * strobes, masters, blackouts that come and go. A light may rise, or turn red, only where a second has room for it and for its way back; until
 * then what rises is held as it was let through last. So nothing is brighter than it was asked to be, and going dark never waits.
 */
export function flash(_show: Grouped, rig: Rig): Guard<FlashMemory> {
  return new FlashGuard(rig);
}

class FlashGuard implements Guard<FlashMemory> {
  readonly name = 'flash';
  readonly #rig: Rig;
  readonly #lamps: readonly LampLight[];
  readonly #sight: Sight;
  readonly #uses: readonly string[];
  readonly #together: readonly Together[];
  readonly #units: readonly Unit[];
  readonly #dark: (frame: Frame) => boolean;
  readonly #beats = new Beats();
  /** Lasers are closed in the frame that is looked at. */
  #closed = true;
  /** What the lights show in the frame that is looked at, and its luminance; which lamps are held, and what strobes they are asked for. */
  readonly #shown: Float64Array;
  readonly #shone: Float64Array;
  readonly #hertz: Float64Array;
  readonly #rates: Float64Array;
  readonly #asked: Float64Array;
  readonly #askedSince: Float64Array;
  readonly #held: Uint8Array;

  constructor(rig: Rig) {
    const lit = litFixtures(rig);
    const lamps = lampLights(rig, lit);
    const useOf = lamps.map(({ fixture }) => rig.fixtures[fixture]?.use ?? '');
    const places = [...lamps.keys()];
    this.#rig = rig;
    this.#lamps = lamps;
    this.#sight = new Sight(rig, lit);
    this.#uses = [...new Set(useOf)];
    this.#together = [
      ...this.#uses.map((use, i) =>
        together(
          lamps,
          lamps.length + i,
          places.filter((place) => useOf[place] === use),
        ),
      ),
      together(lamps, lamps.length + this.#uses.length, places),
    ];
    let from = 0;
    this.#units = rig.fixtures.map((fixture, i) => {
      const count = lit[i]?.kind.laws.length ?? 0;
      from += count;
      return {
        amounts: amountsOf(fixture),
        lamps: Uint32Array.from({ length: count }, (_, n) => from - count + n),
        isLaser: isLaser(fixture),
      };
    });
    this.#dark = darken(rig);
    const lights = lamps.length + this.#together.length;
    this.#shown = new Float64Array(3 * lights);
    this.#shone = new Float64Array(lights);
    this.#rates = new Float64Array(lights);
    this.#hertz = new Float64Array(lamps.length);
    this.#asked = new Float64Array(lamps.length);
    this.#askedSince = new Float64Array(lamps.length);
    this.#held = new Uint8Array(lamps.length);
  }

  memory(before?: FlashMemory): FlashMemory {
    return memoryFor(this.#rig, this.#lamps, this.#uses, before);
  }

  step(frame: Frame, { now, blackout, fallen, lasers, flashes }: Instant, memory: FlashMemory): boolean {
    const limit = Math.min(HIGHEST_FLASHES, Math.max(1, flashes));
    if (!(now >= memory.now)) begin(memory, now);
    getToKnow(memory, now, limit);
    let acted = false;
    this.#held.fill(0);
    this.#closed = !lasers;
    if (blackout) this.#goDark(memory, now);
    else {
      if (this.#closed) this.#closeLasers(memory);
      acted = this.#rise(frame, memory, now);
      if (this.#look(frame, memory, now, limit)) acted = true;
      this.#decide(frame, memory, now, 2 * limit + 1, fallen);
      if (this.#hold(frame, memory)) acted = true;
    }
    this.#remember(frame, memory, now);
    if (blackout) this.#dark(memory.frame);
    return acted;
  }

  /** The guard behind this one puts everything out. */
  #goDark(memory: FlashMemory, now: Millis): void {
    this.#shown.fill(0);
    this.#shone.fill(0);
    this.#hertz.fill(0);
    this.#rates.fill(0);
    this.#asked.fill(0);
    this.#askedSince.fill(0);
    memory.risesFrom.fill(Number.NaN);
    memory.heldAt.fill(now);
  }

  /** Lasers that are closed come as a fade when they are armed. */
  #closeLasers({ risesFrom }: FlashMemory): void {
    for (let i = 0; i < this.#units.length; i++) if ((this.#units[i] as Unit).isLaser) risesFrom[i] = Number.NaN;
  }

  /** What comes out of the dark comes as a fade. */
  #rise(frame: Frame, { risesFrom }: FlashMemory, now: Millis): boolean {
    let acted = false;
    for (let i = 0; i < risesFrom.length; i++) {
      if (Number.isNaN(risesFrom[i])) risesFrom[i] = now;
      const level = clampLevel((now - (risesFrom[i] as number)) / RISE);
      if (level < 1 && keepBelow(frame, (this.#units[i] as Unit).amounts, level)) acted = true;
    }
    return acted;
  }

  /** Looks at all lamps, and deals out the rates of their strobes. @returns whether a strobe had to be slower */
  #look(frame: Frame, memory: FlashMemory, now: Millis, limit: Hertz): boolean {
    const { seen } = this.#sight;
    let strobes = false;
    this.#sight.look(frame);
    for (let i = 0; i < this.#lamps.length; i++) {
      const hertz = seen[SEEN * i + 3] as number;
      this.#asked[i] = hertz > 0 && brightness(seen, SEEN * i) > 0 ? hertz : 0;
      this.#askedSince[i] = this.#asked[i] === memory.asked[i] ? (memory.askedSince[i] as number) : now;
      if (this.#asked[i] !== 0) strobes = true;
    }
    return strobes && this.#slow(frame, limit);
  }

  #slow(frame: Frame, limit: Hertz): boolean {
    const beats = this.#beats;
    beats.clear();
    for (let i = 0; i < this.#asked.length; i++)
      if (this.#asked[i] !== 0) beats.of(this.#asked[i] as number, this.#askedSince[i] as number);
    beats.deal(limit);
    let acted = false;
    for (let i = 0; i < this.#asked.length; i++) {
      if (this.#asked[i] === 0) continue;
      if (this.#sight.slow(i, frame, beats.allowed(beats.of(this.#asked[i] as number, this.#askedSince[i] as number))))
        acted = true;
    }
    return acted;
  }

  /** Finds what has to be held, so that no light breaks its limit of changes in a second. */
  #decide(frame: Frame, memory: FlashMemory, now: Millis, most: number, fallen: boolean): void {
    for (let look = 0; look < MOST_LOOKS; look++) {
      let broken = false;
      let changed = false;
      for (let i = 0; i < this.#lamps.length; i++) {
        this.#show(i, memory);
        if (!this.#hasChanged(i, memory)) continue;
        changed = true;
        const by = this.#turns(i, memory) ? this.#breach(i, memory, now, most) : 0;
        if (by === 0 || (by < 0 && fallen)) continue;
        memory.heldAt[i] = now;
        this.#holdLamp(i, frame, memory);
        broken = true;
      }
      for (let i = 0; i < this.#together.length; i++) {
        const all = this.#together[i] as Together;
        if (changed) this.#add(all, memory);
        else this.#showAsBefore(all.light, memory);
        const by = changed && this.#turns(all.light, memory) ? this.#breach(all.light, memory, now, most) : 0;
        if (by === 0 || (by < 0 && fallen)) continue;
        memory.heldAt[all.light] = now;
        this.#holdTogether(all, by, frame, memory);
        broken = true;
      }
      if (!broken) return;
    }
    for (let i = 0; i < this.#lamps.length; i++) {
      // After the fallback nothing waits to go dark.
      if (this.#isClosed(i) || (fallen && this.#adds(i, -1, memory))) continue;
      this.#held[i] = 1;
      this.#show(i, memory);
    }
    for (let i = 0; i < this.#together.length; i++) this.#add(this.#together[i] as Together, memory);
  }

  /** What a lamp shows: what it is asked for, or what it showed before where it is held. */
  #show(i: number, memory: FlashMemory): void {
    if (this.#held[i] === 1) {
      this.#showAsBefore(i, memory);
      this.#hertz[i] = memory.hertz[i] as number;
      return;
    }
    const { seen } = this.#sight;
    for (let k = 0; k < 3; k++) this.#shown[3 * i + k] = seen[SEEN * i + k] as number;
    this.#shine(i);
    this.#hertz[i] = (this.#shone[i] as number) > 0 ? (seen[SEEN * i + 3] as number) : 0;
    this.#rates[i] = this.#hertz[i] as number;
  }

  #showAsBefore(light: number, { shown, rates }: FlashMemory): void {
    for (let k = 3 * light; k < 3 * light + 3; k++) this.#shown[k] = shown[k] as number;
    this.#shine(light);
    this.#rates[light] = rates.rate[light] as number;
  }

  #shine(light: number): void {
    this.#shone[light] = brightness(this.#shown, 3 * light);
  }

  #hasChanged(light: number, { shown, rates }: FlashMemory): boolean {
    for (let k = 3 * light; k < 3 * light + 3; k++) if (this.#shown[k] !== shown[k]) return true;
    return this.#rates[light] !== rates.rate[light];
  }

  /** What lamps show together: the sum of their light, and each beat of their strobes once. */
  #add({ light, lamps, shares }: Together, memory: FlashMemory): void {
    const shown = this.#shown;
    shown.fill(0, 3 * light, 3 * light + 3);
    const beats = this.#beats;
    beats.clear();
    let rate = 0;
    for (let n = 0; n < lamps.length; n++) {
      const i = lamps[n] as number;
      for (let k = 0; k < 3; k++)
        shown[3 * light + k] = (shown[3 * light + k] as number) + (shown[3 * i + k] as number) * (shares[n] as number);
      const hertz = this.#hertz[i] as number;
      if (hertz > 0 && beats.isNew(hertz, (this.#held[i] === 1 ? memory.askedSince : this.#askedSince)[i] as number)) rate += hertz;
    }
    this.#shine(light);
    this.#rates[light] = rate;
  }

  /** Whether anything begins with what a light shows that is counted: few lights in a frame, so this is asked first, and without a number. */
  #turns(light: number, { luminances, reds, redLevels, rates }: FlashMemory): boolean {
    if ((this.#rates[light] as number) > (rates.rate[light] as number)) return true;
    if (turnAt(luminances, light, this.#shone) !== 0 || turnsRed(reds, light, this.#shown, 3 * light)) return true;
    return redTurnAt(redLevels, light, this.#shown, 3 * light) === 1;
  }

  /** Whether a light breaks its limit: 1 by more light or more red, -1 by less, 0 not. */
  #breach(light: number, memory: FlashMemory, now: Millis, most: number): -1 | 0 | 1 {
    const { luminances, reds, redLevels, rates, heldAt } = memory;
    const rate = this.#rates[light] as number;
    const starts = rate > (rates.rate[light] as number);
    if (starts && !hasRoom(luminances.changes, light, now, most - changesOf(rate), 0)) return 1;
    if (turnsRed(reds, light, this.#shown, 3 * light) && !mayTurnRed(reds, light, now, most)) return 1;
    if (redTurnAt(redLevels, light, this.#shown, 3 * light) === 1 && !mayRedden(redLevels, light, now, most)) return 1;
    if (starts) return 0;
    const trusted = now - (heldAt[light] as number) > MILLIS_PER_SECOND;
    // While it strobes nothing waits to go dark: there may be no room for that until the strobe ends.
    const by = breach(luminances, light, this.#shone, now, most - changesOf(rate), trusted);
    return rate > 0 && by < 0 ? 0 : by;
  }

  /** Holds those of several lamps by which they break the limit; all of them where it is none in particular. */
  #holdTogether({ lamps }: Together, by: -1 | 1, frame: Frame, memory: FlashMemory): void {
    let any = false;
    for (let n = 0; n < lamps.length; n++) {
      const i = lamps[n] as number;
      if (this.#held[i] === 1 || !this.#adds(i, by, memory)) continue;
      this.#holdLamp(i, frame, memory);
      any = true;
    }
    if (any) return;
    for (let n = 0; n < lamps.length; n++) this.#holdLamp(lamps[n] as number, frame, memory);
  }

  /** Darker than it was, or brighter, redder or faster. */
  #adds(i: number, by: -1 | 1, { shown, rates }: FlashMemory): boolean {
    const more = brightness(this.#shown, 3 * i) - brightness(shown, 3 * i);
    if (by < 0) return more < 0;
    return more > 0 || redOf(this.#shown, 3 * i) > redOf(shown, 3 * i) || (this.#rates[i] as number) > (rates.rate[i] as number);
  }

  /** A laser that is closed: nothing holds it open, not even for a moment. */
  #isClosed(i: number): boolean {
    return this.#closed && (this.#units[(this.#lamps[i] as LampLight).fixture] as Unit).isLaser;
  }

  /** Holds a lamp; with it all parts of its fixture where what they share has changed, since that cannot be held for one alone. */
  #holdLamp(i: number, frame: Frame, memory: FlashMemory): void {
    if (this.#isClosed(i)) return;
    const { fixture } = this.#lamps[i] as LampLight;
    const { lamps } = this.#units[fixture] as Unit;
    let shared = false;
    for (let n = 0; n < lamps.length && !shared; n++) {
      const { gates } = this.#lamps[lamps[n] as number] as LampLight;
      for (const cell of gates) if (frame[cell] !== memory.frame[cell]) shared = true;
    }
    for (let n = 0; n < lamps.length; n++) {
      const one = lamps[n] as number;
      if (one !== i && !shared) continue;
      this.#held[one] = 1;
      this.#show(one, memory);
    }
  }

  #hold(frame: Frame, memory: FlashMemory): boolean {
    let acted = false;
    for (let i = 0; i < this.#held.length; i++) {
      if (this.#held[i] === 0) continue;
      for (const cell of memory.cells[i] as Uint32Array) if (force(frame, cell, memory.frame[cell] as number)) acted = true;
    }
    return acted;
  }

  #remember(frame: Frame, memory: FlashMemory, now: Millis): void {
    const { luminances, reds, redLevels, rates, risesFrom } = memory;
    newRow(luminances, now);
    newRow(redLevels, now);
    for (let light = 0; light < luminances.lights; light++) {
      if (!this.#hasChanged(light, memory)) continue;
      const starts = (this.#rates[light] as number) > (rates.rate[light] as number);
      follow(luminances, light, this.#shone, now, !starts);
      followRate(rates, luminances.changes, light, this.#rates[light] as number, now);
      followRed(reds, light, this.#shown, 3 * light, now);
      followRedLevel(redLevels, light, this.#shown, 3 * light, now);
    }
    memory.shown.set(this.#shown);
    for (let i = 0; i < this.#held.length; i++) {
      if (this.#held[i] === 1) continue;
      memory.hertz[i] = this.#hertz[i] as number;
      memory.asked[i] = this.#asked[i] as number;
      memory.askedSince[i] = this.#askedSince[i] as number;
    }
    for (let i = 0; i < this.#units.length; i++) {
      // A rise that has to wait goes on from where it was.
      if (now - (risesFrom[i] as number) < RISE && this.#isHeld(i)) risesFrom[i] = (risesFrom[i] as number) + now - memory.now;
    }
    memory.frame.set(frame);
    memory.now = now;
  }

  #isHeld(unit: number): boolean {
    const { lamps } = this.#units[unit] as Unit;
    for (let n = 0; n < lamps.length; n++) if (this.#held[lamps[n] as number] === 1) return true;
    return false;
  }
}

function together(lamps: readonly LampLight[], light: number, places: readonly number[]): Together {
  const fixtures = new Set(places.map((place) => lamps[place]?.fixture));
  return {
    light,
    lamps: Uint32Array.from(places),
    shares: Float64Array.from(places, (place) => (lamps[place]?.share ?? 0) / fixtures.size),
  };
}

const brightness = (shown: Float64Array, at: number): number =>
  luminanceOf(shown[at] as number, shown[at + 1] as number, shown[at + 2] as number);

/** No more than a share of full. @returns whether there was more */
function keepBelow(frame: Frame, amounts: readonly Amount[], level: number): boolean {
  let acted = false;
  for (let i = 0; i < amounts.length; i++) {
    const { cell, shades } = amounts[i] as Amount;
    if ((frame[cell] as number) > level && (shades || level <= 0) && force(frame, cell, level)) acted = true;
  }
  return acted;
}
