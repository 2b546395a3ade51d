import type { Frame } from '../core/frame.ts';
import { toMillis } from '../core/units.ts';
import type { Way } from '../plan/aim/ways.ts';
import { axesOf, type Head } from '../rig/head.ts';
import type { Point } from '../rig/pose.ts';
import { toDegrees } from '../rig/space.ts';
import { besideOuter, ownAngle, RAY, shine, solvePoint, toldAngle } from '../rig/turning.ts';
import type { Angles, Movement } from '../show/document.ts';
import { type Aimed, type Choices, type Looking, type Turning, wayBy } from './aims.ts';
import { acrossAt, alongAt, type Figure, periodsOf, sideOf } from './figures.ts';
import type { PartReader } from './parts.ts';
import { between, type Extent, type Stroke } from './stroke.ts';

/** Heads on a figure, around an aim of its own or around wherever they are aimed below (then it covers nothing). */
export interface MovementProgram extends Extent {
  readonly kind: 'movement';
  readonly figure: Figure;
  /** Whether the period counts beats, not milliseconds. */
  readonly inBeats: boolean;
  readonly period: number;
  readonly heads: readonly MovingHead[];
  readonly aims: readonly Aimed[];
  /** What guests see otherwise than was asked, in words. */
  readonly notes: readonly string[];
}

interface MovingHead {
  readonly pan: number;
  readonly tilt: number;
  readonly rests: number;
  /** How far the figure takes it: degrees of both axes, or metres along the room's x and y. */
  readonly across: number;
  readonly along: number;
  /** By what share of the figure it is ahead. */
  readonly ahead: number;
  /** A head that draws in the room, and not by its angles. */
  readonly inRoom?: Head;
  /** The figure's centre; absent: wherever it is aimed below. */
  readonly centre?: Angles;
  readonly at?: Point;
  readonly aimed?: Aimed;
}

/** Metres from a head to the middle of a figure around where it looks, where no floor is nearer. Common practice, no source. */
const FAR = 15;
/** How near a figure in the room may come to the point that pan turns about, in sizes of it: there it would have to turn on and on. */
const NEAR = 1.2;

export function movementProgram(movement: Movement, reader: PartReader, tempo: number): MovementProgram {
  const { who, figure, aim, size, period, spread, mirror } = movement;
  const turning = reader.heads(who);
  const looking = new Map<unknown, Looking>(aim === undefined ? [] : reader.looking(who, aim).map((one) => [one.lamp, one]));
  const heads = turning.map(({ fixture, lamp }, i): MovingHead => {
    const side = sideOf(figure, mirror, i, turning.length);
    const { aimed, angles, at } = looking.get(lamp) ?? {};
    const placed = reader.headOf({ fixture, lamp });
    const centre = aimed === undefined ? angles : toldBy(lamp.cells.get('Pan') as number, aimed.head, aimed.ways[0]);
    const base = {
      pan: lamp.cells.get('Pan') as number,
      tilt: lamp.cells.get('Tilt') as number,
      rests: lamp.cells.get('AimRests') as number,
      ahead: (spread * i) / turning.length,
      ...(centre === undefined ? {} : { centre }),
      ...(at === undefined ? {} : { at }),
      ...(aimed === undefined ? {} : { aimed }),
    };
    if ('pan' in size) return { ...base, across: side * size.pan, along: size.tilt };
    if (placed !== undefined) return { ...base, across: side * size.width, along: size.depth, inRoom: placed };
    // Without a place it turns by what the size is a few metres away.
    return { ...base, across: side * degreesOf(size.width), along: degreesOf(size.depth) };
  });
  const touches = Uint32Array.from(heads.flatMap(({ pan, tilt, rests }) => [pan, tilt, rests])).sort();
  const covers = Uint32Array.from(
    heads.flatMap(({ pan, tilt, rests, centre }) => (centre === undefined ? [] : [pan, tilt, rests])),
  ).sort();
  const inBeats = 'beats' in period;
  const asked = inBeats ? period.beats : toMillis(period.seconds);
  const slower = stretched(figure, heads, turning, inBeats ? (asked * 60_000) / tempo : asked);
  return {
    kind: 'movement',
    figure,
    inBeats,
    // On the beat it stays on the beat.
    period: asked * (inBeats ? 2 ** Math.ceil(Math.log2(slower)) : slower),
    heads,
    aims: heads.flatMap(({ aimed }) => aimed ?? []),
    touches,
    covers,
    notes: [...reader.aimNotes(aim, who), ...(slower > 1 ? ['its heads cannot turn as fast as it asks; it takes longer'] : [])],
  };
}

/** Where nobody knows where a head is. Common practice, no source. */
const USUAL_DISTANCE = 5;
const degreesOf = (metres: number): number => toDegrees(Math.atan2(metres, USUAL_DISTANCE));

/** The angles of a way, by what the show calls pan and tilt. */
const toldBy = (panCell: number, { outer }: Head, way: Way): Angles =>
  outer.cell === panCell ? { pan: way.outer, tilt: way.inner } : { pan: way.inner, tilt: way.outer };

/** The head around the way that was chosen when it started. */
export function centredBy(head: MovingHead, choices: Choices): MovingHead {
  const { aimed, pan } = head;
  return aimed === undefined ? head : { ...head, centre: toldBy(pan, aimed.head, wayBy(aimed, choices[aimed.name])) };
}

const to = { pan: 0, tilt: 0 };

export function drawMovement(movement: MovementProgram, frame: Frame, { weight, millis, beats }: Readonly<Stroke>): void {
  const { heads, figure } = movement;
  const turns = (movement.inBeats ? beats : millis) / movement.period;
  const come = eased(weight);
  for (let i = 0; i < heads.length; i++) {
    const head = heads[i] as MovingHead;
    const panBelow = frame[head.pan] as number;
    const tiltBelow = frame[head.tilt] as number;
    lookAt(head, figure, turns, head.centre?.pan ?? panBelow, head.centre?.tilt ?? tiltBelow, to);
    frame[head.pan] = between(panBelow, to.pan, come);
    frame[head.tilt] = between(tiltBelow, to.tilt, come);
    // Half way in it is the figure that aims the head.
    if (come >= 0.5) frame[head.rests] = 0;
  }
}

/** It begins and ends softly, as what has weight must: with the slope of nothing at both ends. */
const eased = (weight: number): number => weight * weight * (3 - 2 * weight);

/** Where a head looks at a phase of its figure, around a centre by angles. */
function lookAt(
  head: MovingHead,
  figure: Figure,
  turns: number,
  pan: number,
  tilt: number,
  into: { pan: number; tilt: number },
): void {
  const at = turns + head.ahead;
  const [across, along] = [acrossAt(figure, at) * head.across, alongAt(figure, at) * head.along];
  into.pan = pan + across;
  into.tilt = tilt + along;
  if (head.inRoom !== undefined) lookInRoom(head, head.inRoom, across, along, pan, tilt, into);
}

const ray = new Float64Array(RAY);
const angles = new Float64Array(4);

/** The same in the room: on the level of what it looks at, or of the floor where it looks at nothing that is known. */
function lookInRoom(
  { at, pan: panCell, across: width, along: depth }: MovingHead,
  head: Head,
  across: number,
  along: number,
  pan: number,
  tilt: number,
  into: { pan: number; tilt: number },
): void {
  const { outer, inner } = head;
  const panIsOuter = outer.cell === panCell;
  const [o, i] = [ownAngle(outer, panIsOuter ? pan : tilt), ownAngle(inner, panIsOuter ? tilt : pan)];
  shine(head, o, i, ray);
  const [x, y, z] = [ray[0] as number, ray[1] as number, ray[2] as number];
  const [dx, dy, dz] = [ray[3] as number, ray[4] as number, ray[5] as number];
  const far = at === undefined ? Math.min(FAR, dz < 0 && z > 0 ? -z / dz : FAR) : 0;
  const [mx, my, mz] = at === undefined ? [x + far * dx, y + far * dy, z + far * dz] : [at.x, at.y, at.z];
  // Along the axis that pan turns about nothing tells where pan should be: there it would have to turn on and on.
  if (besideOuter(head, mx, my, mz) < NEAR * Math.hypot(width, depth)) {
    const distance = Math.max(1, Math.hypot(mx - x, my - y, mz - z));
    into.pan = pan + toDegrees(Math.atan2(across, distance));
    into.tilt = tilt + toDegrees(Math.atan2(along, distance));
    return;
  }
  solvePoint(head, mx + across, my + along, mz, o, angles);
  // Of the two ways the one on this side, whole turns left out.
  for (let k = 0; k < 4; k++) angles[k] = beside(angles[k] as number, k % 2 === 0 ? o : i);
  const way = turnTo(0, o, i) <= turnTo(2, o, i) ? 0 : 2;
  into.pan = toldAngle(panIsOuter ? outer : inner, angles[panIsOuter ? way : way + 1] as number);
  into.tilt = toldAngle(panIsOuter ? inner : outer, angles[panIsOuter ? way + 1 : way] as number);
}

const turnTo = (way: number, outer: number, inner: number): number =>
  Math.abs((angles[way] as number) - outer) + Math.abs((angles[way + 1] as number) - inner);

const beside = (angle: number, to: number): number => angle - 360 * Math.round((angle - to) / 360);

/** Steps of a period that are looked at for how fast heads would have to turn. */
const STEPS = 240;

/** By how much a period has to be longer so that no head is asked for more speed than its type declares; 1 where it is long enough. */
function stretched(figure: Figure, heads: readonly MovingHead[], turning: readonly Turning[], period: number): number {
  let most = 1;
  const [was, is] = [
    { pan: 0, tilt: 0 },
    { pan: 0, tilt: 0 },
  ];
  for (const [i, head] of heads.entries()) {
    const axes = axesOf((turning[i] as Turning).fixture, (turning[i] as Turning).lamp);
    // Around what it is aimed at below nobody knows what it takes in the room.
    if (axes === undefined || (head.inRoom !== undefined && head.centre === undefined)) continue;
    const { pan = 0, tilt = 0 } = head.centre ?? {};
    const [forPan, forTilt] = axes.pan.cell === head.pan ? [axes.pan, axes.tilt] : [axes.tilt, axes.pan];
    lookAt(head, figure, 0, pan, tilt, was);
    for (let step = 1; step <= STEPS * periodsOf(figure); step++) {
      lookAt(head, figure, step / STEPS, pan, tilt, is);
      const seconds = period / STEPS / 1000;
      most = Math.max(
        most,
        Math.abs(is.pan - was.pan) / seconds / forPan.speed,
        Math.abs(is.tilt - was.tilt) / seconds / forTilt.speed,
      );
      was.pan = is.pan;
      was.tilt = is.tilt;
    }
  }
  return most;
}
