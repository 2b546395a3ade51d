import type { Frame } from '../../core/frame.ts';
import { HALF, keptOf, STEP, usedAfter } from '../../core/kept.ts';
import type { Millis } from '../../core/units.ts';
import type { Rig } from '../../rig/rig.ts';
import { RAY } from '../../rig/turning.ts';
import { dim } from '../amounts.ts';
import type { Grouped, Guard, Instant } from '../guard.ts';
import { keysWith } from '../known-again.ts';
import { angleOf, type Beam, beamsIn, isJudged, lightOf } from './beams.ts';
import { amongEyes, crowdOf, MOST_AMONG, PLACE, PLACES } from './crowd.ts';
import { BRIDGED, carrySpells, doublings, light, noSpells, type Spells } from './spells.ts';

/** What a beam that rests is dimmed to: of a level, which is lightness. A hundredth of the light. Common practice, no source. */
const AT_REST = 0.1;
/** It goes down softly, and comes up faster: from all to that, and back. */
const DOWN: Millis = 2000;
const UP: Millis = 1000;
/** Degrees by which a narrow beam has to move on at least to have moved. */
const LEAST_TURN = 4;
/** What is wider than this is no beam. Degrees. */
const WIDEST = 120;

/** So often it is looked at where the edges of beams rest: often enough, since a break of a second is bridged. */
const EDGES_EVERY: Millis = 100;

export interface DwellMemory {
  /** Of the beams of the rig, then of those that were in it a moment ago. */
  readonly keys: readonly string[];
  /** Of each its place among those that have one in the room, by which it has squares; -1: it has none. */
  readonly placed: readonly number[];
  /** When it was last looked at; not a number: never. */
  at: number;
  /** How much of its level each beam has. */
  readonly share: Float64Array;
  readonly spells: Spells;
  /** The same by their field angles, when that was looked at last, and when each was found at rest so. */
  readonly edges: Spells;
  edgesAt: Millis;
  readonly edgeRested: Float64Array;
  /** Of heads without a place: the direction that they were found in, since when, and when they last shone there. */
  readonly anchors: Float64Array;
  readonly since: Float64Array;
  readonly shone: Float64Array;
  /** When each beam was found at rest last. */
  readonly rested: Float64Array;
  /** How much of the time that it may rest each beam has used. */
  readonly used: Float64Array;
  /** When each beam was in the rig last. */
  readonly seen: Float64Array;
}

/**
 * A beam may cross the eyes of guests; it may not rest there. Where one has been for longer than the show permits it is dimmed until it has moved on: by the
 * angle at which it has half of its middle. Where but its edge rests, to a tenth of the middle, that is said and nothing dimmed. A head that has no place in the room is judged by its motion alone: nobody knows what it looks at. What is aimed as a focus is let rest.
 */
export function dwell(show: Grouped, rig: Rig): Guard<DwellMemory> {
  const beams = beamsIn(rig);
  const crowd = crowdOf(show.landmarks);
  const limit = show.mayRest * 1000;
  const squares = beams.filter(({ placed }) => placed >= 0).length;
  const ray = new Float64Array(RAY);
  const places = new Float64Array(MOST_AMONG);

  /** Since when a place has been lit that the beam lights now; now where it lights none. */
  function restsSince(beam: Beam, i: number, frame: Frame, now: Millis, begun: Millis, memory: DwellMemory): Millis {
    const angle = angleOf(beam, frame);
    lightOf(beam, frame, ray);
    if (beam.placed < 0) return stoodSince(i, Math.max(LEAST_TURN, angle / 2), now, begun, memory);
    return litSince(memory.spells, beam.placed, angle, now, begun);
  }

  /** The same for a round of an angle about the ray. */
  function litSince(spells: Spells, placed: number, angle: number, now: Millis, begun: Millis): Millis {
    const count = amongEyes(crowd, ray, places);
    const slope = Math.tan((Math.min(angle, WIDEST) * Math.PI) / 360);
    const least = doublings(slope);
    let since = now;
    for (let k = 0; k < count; k += PLACE) {
      const radius = Math.max(0.05, (places[k + 3] as number) * slope);
      const square = PLACES * placed + (places[k] as number);
      since = Math.min(since, light(spells, square, places[k + 1] as number, places[k + 2] as number, radius, least, now, begun));
    }
    return since;
  }

  /** The same for a head of which only the direction is known, in its own body. */
  function stoodSince(i: number, within: number, now: Millis, begun: Millis, { anchors, since, shone }: DwellMemory): Millis {
    let cosine = 0;
    for (let k = 0; k < 3; k++) cosine += (anchors[3 * i + k] as number) * (ray[3 + k] as number);
    const isThere = now - (shone[i] as number) <= BRIDGED && cosine >= Math.cos((within * Math.PI) / 180);
    if (!isThere) {
      for (let k = 0; k < 3; k++) anchors[3 * i + k] = ray[3 + k] as number;
      since[i] = Number.isNaN(shone[i]) ? begun : now;
    }
    shone[i] = now;
    return since[i] as number;
  }

  return {
    name: 'dwell',
    memory(before) {
      const keys = keysWith(
        beams.map(({ key }) => key),
        before,
        (i) => before !== undefined && before.at - (before.seen[i] as number) <= BRIDGED,
      );
      let placedOnes = squares;
      const placed = keys.map((key, i) => {
        const own = beams[i]?.placed;
        if (own !== undefined) return own;
        return (before?.placed[before.keys.indexOf(key)] ?? -1) < 0 ? -1 : placedOnes++;
      });
      const each = (value: number): Float64Array => new Float64Array(keys.length).fill(value);
      const memory: DwellMemory = {
        keys,
        placed,
        at: before?.at ?? Number.NaN,
        share: each(1),
        spells: noSpells(PLACES * placedOnes),
        edges: noSpells(PLACES * placedOnes),
        edgesAt: before?.edgesAt ?? Number.NaN,
        edgeRested: each(Number.NaN),
        anchors: new Float64Array(3 * keys.length),
        since: each(0),
        shone: each(Number.NaN),
        rested: each(Number.NaN),
        used: each(HALF),
        seen: each(before?.at ?? Number.NaN),
      };
      if (before !== undefined) for (const [i, key] of keys.entries()) carry(before, before.keys.indexOf(key), memory, i);
      return memory;
    },
    step(frame, { now }: Instant, memory): boolean {
      const isFirst = Number.isNaN(memory.at);
      const passed = Math.max(0, now - (isFirst ? now : memory.at));
      const looksAtEdges = !(now - memory.edgesAt < EDGES_EVERY && now >= memory.edgesAt);
      if (looksAtEdges) memory.edgesAt = now;
      memory.at = now;
      let acted = false;
      for (let i = 0; i < beams.length; i++) {
        const beam = beams[i] as Beam;
        memory.seen[i] = now;
        const shines = isJudged(beam, frame);
        // After a start nobody knows for how long a place has been lit: what was kept of the beam counts for all that it lights then.
        const begun = isFirst ? now - limit * (memory.used[i] as number) : now;
        const rested = shines ? now - restsSince(beam, i, frame, now, begun, memory) : 0;
        memory.used[i] = rested / limit;
        if (rested > limit) memory.rested[i] = now;
        if (shines && looksAtEdges && beam.placed >= 0) {
          const edge = litSince(memory.edges, beam.placed, angleOf(beam, frame) * beam.spread, now, begun);
          if (now - edge > limit) memory.edgeRested[i] = now;
        }
        // A break that is bridged brings it back no more than the spell ends by it.
        const rests = now === memory.rested[i] || (!shines && now - (memory.rested[i] as number) <= BRIDGED);
        const share = memory.share[i] as number;
        memory.share[i] = rests ? Math.max(AT_REST, share - (passed / DOWN) * (1 - AT_REST)) : Math.min(1, share + passed / UP);
        if ((memory.share[i] as number) < 1 && dim(frame, beam.amounts, memory.share[i] as number)) acted = true;
      }
      return acted;
    },
    kept: ({ keys, used, share }) => keptOf(keys, (i) => ((share[i] as number) < 1 ? 1 : (used[i] as number))),
    recall({ keys, used, share }, kept) {
      for (const [i, key] of keys.entries()) {
        used[i] = usedAfter(kept[key]);
        // What had been dimmed is so from the first frame on.
        if ((kept[key] ?? 0) < 1) continue;
        used[i] = 1 + STEP;
        share[i] = AT_REST;
      }
    },
    *held({ share }) {
      for (let i = 0; i < beams.length; i++) if ((share[i] as number) < 1) yield (beams[i] as Beam).place;
    },
    warns: {
      name: 'dwell-edge',
      *of({ at, share, edgeRested }) {
        for (let i = 0; i < beams.length; i++)
          if (share[i] === 1 && at - (edgeRested[i] as number) <= BRIDGED) yield (beams[i] as Beam).place;
      },
    },
  };
}

function carry(from: DwellMemory, at: number, to: DwellMemory, i: number): void {
  if (at < 0) return;
  to.share[i] = from.share[at] as number;
  to.since[i] = from.since[at] as number;
  to.shone[i] = from.shone[at] as number;
  to.rested[i] = from.rested[at] as number;
  to.used[i] = from.used[at] as number;
  to.anchors.set(from.anchors.subarray(3 * at, 3 * at + 3), 3 * i);
  to.seen[i] = from.seen[at] as number;
  to.edgeRested[i] = from.edgeRested[at] as number;
  const [before, now] = [from.placed[at] as number, to.placed[i] as number];
  if (before < 0 || now < 0) return;
  carrySpells(from.spells, PLACES * before, to.spells, PLACES * now, PLACES);
  carrySpells(from.edges, PLACES * before, to.edges, PLACES * now, PLACES);
}
