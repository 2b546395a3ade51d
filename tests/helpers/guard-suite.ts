import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AttributeName, attribute, isEmitter } from '../../node/core/attributes.ts';
import { MOST_FLASHES } from '../../node/core/limits.ts';
import type { BuildGuard, Instant } from '../../node/guards/guard.ts';
import type { CompiledShow } from '../../node/playback/compile.ts';
import { ordinary } from './ordinary.ts';

/** What a lamp or a machine gives more of, the higher the value is. */
const givesMore = (name: AttributeName): boolean => attribute(name).intensity === true || isEmitter(name) || riskier.includes(name);
const riskier: readonly AttributeName[] = ['Shutter1', 'Shutter1Strobe', 'Haze1', 'PanRotate', 'Gobo1PosRotate', 'Prism1PosRotate'];

/** Units of what makes a colour. */
const held: readonly string[] = ['oklab', 'slot'];

const level = fc.oneof(fc.constantFrom(0, 0.5, 1), fc.double({ min: 0, max: 1, noNaN: true }));
/** An emitter follows the colour at -1. */
const driven = fc.oneof(fc.constant(-1), level);
const within: Readonly<Record<ReturnType<typeof attribute>['unit'], fc.Arbitrary<number>>> = {
  level,
  degrees: fc.double({ min: -540, max: 540, noNaN: true }),
  hertz: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 25, noNaN: true })),
  slot: fc.integer({ min: 1, max: 64 }),
  oklab: fc.double({ min: -0.4, max: 1, noNaN: true }),
};

/** What holds for every guard: it never makes anything brighter, faster or longer, and the same instant always fares the same. */
export function describeGuard(build: BuildGuard, { show, rig }: CompiledShow): void {
  const anyFrame = fc
    .tuple(...rig.attributeOf.map((name) => (isEmitter(name) ? driven : within[attribute(name).unit])))
    .map((values) => Float64Array.from(values));
  const anyInstant = fc
    .record({
      now: fc.nat(),
      blackout: fc.boolean(),
      fallen: fc.boolean(),
      left: fc.boolean(),
      haze: fc.boolean(),
      lasers: fc.boolean(),
      crew: fc.boolean(),
      homing: fc.boolean(),
      all: level,
      groups: fc.array(level, { minLength: 1 }),
    })
    .map(
      ({ groups, ...rest }): Instant => ({ ...rest, flashes: MOST_FLASHES, group: (id) => groups[id.length % groups.length] ?? 1 }),
    );
  const guarded = (frame: Float64Array, instant: Instant, guard = build(show, rig)): Float64Array => {
    const after = Float64Array.from(frame);
    guard.step(after, instant, guard.memory());
    return after;
  };

  describe(`the guard "${build(show, rig).name}", as any guard`, () => {
    it('never makes anything brighter or faster', () => {
      fc.assert(
        fc.property(anyFrame, anyInstant, (frame, instant) => {
          for (const [cell, value] of guarded(frame, instant).entries()) {
            const name = rig.attributeOf[cell] as AttributeName;
            if (givesMore(name)) expect(value, name).toBeLessThanOrEqual(frame[cell] as number);
          }
        }),
      );
    });

    it('turns no head and changes no colour', () => {
      fc.assert(
        fc.property(anyFrame, anyInstant, (frame, instant) => {
          for (const [cell, value] of guarded(frame, instant).entries()) {
            const name = rig.attributeOf[cell] as AttributeName;
            // The flash guard holds a lamp in the colour that it had.
            if (build(show, rig).name === 'flash' && held.includes(attribute(name).unit)) continue;
            if (attribute(name).atBlackout === 'keep' && !givesMore(name)) expect(value, name).toBe(frame[cell]);
          }
        }),
      );
    });

    it('treats the same frame and memory the same, whatever it has seen before', () => {
      fc.assert(
        fc.property(anyFrame, anyInstant, anyFrame, anyInstant, (frame, instant, other, another) => {
          const guard = build(show, rig);
          const first = guarded(frame, instant, guard);
          guarded(other, another, guard);
          expect(guarded(frame, instant, guard)).toEqual(first);
        }),
        { numRuns: 40 },
      );
    });

    it('remembers nothing but plain data, and says that it acted when it changed a cell and not otherwise', () => {
      fc.assert(
        fc.property(fc.array(fc.tuple(anyFrame, anyInstant), { minLength: 1, maxLength: 8 }), (script) => {
          const guard = build(show, rig);
          const memory = guard.memory();
          for (const [i, [asked, instant]] of script.entries()) {
            const [frame, copy] = [Float64Array.from(asked), Float64Array.from(asked)];
            const copied = structuredClone(memory);
            const now = 25 * i;
            const acted = guard.step(frame, { ...instant, now }, memory);
            expect(acted).toBe(frame.some((value, cell) => value !== asked[cell]));
            build(show, rig).step(copy, { ...instant, now }, copied);
            expect(copy).toEqual(frame);
            expect(copied).toEqual(memory);
          }
        }),
        { numRuns: 40 },
      );
    });

    it('leaves an ordinary evening alone: masters full, no blackout, somebody there, nothing that flashes', () => {
      fc.assert(
        fc.property(anyFrame, (asked) => {
          const frame = asked.map((value, cell) => (rig.attributeOf[cell] === 'Shutter1Strobe' ? 0 : value));
          const guard = build(show, rig);
          const memory = guard.memory();
          for (let now = 0; now < 1000; now += 25) guard.step(Float64Array.from(frame), { ...ordinary, now }, memory);
          const after = Float64Array.from(frame);
          guard.step(after, { ...ordinary, now: 1000 }, memory);
          expect(after).toEqual(frame);
        }),
        { numRuns: 40 },
      );
    });
  });
}
