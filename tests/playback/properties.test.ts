import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { command } from '../../node/core/commands.ts';
import { reduce } from '../../node/playback/reduce.ts';
import { settle } from '../../node/playback/stack.ts';
import { type Entry, isAway, type PlayState } from '../../node/playback/state.ts';
import { Offline, START } from '../helpers/offline.ts';
import { anyCommand, anyScript, bigLittleShow, during, endOf } from './any-script.ts';

const universes = [1, 2];
const bytes = (night: Offline, at: number, state?: PlayState): Uint8Array[] =>
  universes.map((universe) => night.slots(at, universe, state));
const runs = (numRuns: number) => ({ numRuns });

describe('whatever is pressed', () => {
  it('draws from commands that the schema knows', () => {
    fc.assert(
      fc.property(anyCommand(), (one) => {
        expect(command.parse(one)).toEqual(one);
      }),
      runs(200),
    );
  });

  it('gives the same bytes for the same show, state and instant, whatever was drawn in between', () => {
    const scripted = anyScript({ maxLength: 12 }).chain((script) =>
      fc.tuple(fc.constant(script), fc.array(during(script), { minLength: 2, maxLength: 6 })),
    );
    fc.assert(
      fc.property(scripted, ([script, instants]) => {
        const night = new Offline(bigLittleShow, script);
        for (const at of instants) night.slots(at);
        // A copy of the show is compiled afresh: nothing is left over from anything.
        const fresh = new Offline(structuredClone(bigLittleShow), script);
        for (const at of [...instants].reverse()) expect(bytes(night, at)).toEqual(bytes(fresh, at));
      }),
      runs(60),
    );
  });

  it('gives the same bytes when the state has been through the journal, and goes on in phase', () => {
    const scripted = anyScript({ maxLength: 12 }).chain((script) => fc.tuple(fc.constant(script), during(script), fc.nat(20_000)));
    fc.assert(
      fc.property(scripted, ([script, at, later]) => {
        const night = new Offline(bigLittleShow, script);
        const state = night.state(at);
        const back = JSON.parse(JSON.stringify(state)) as PlayState;
        expect(back).toEqual(state);
        // Both as states from elsewhere: how far heads have come, which turn no faster than they can, is the guards' to remember.
        expect(bytes(night, at + later, back)).toEqual(bytes(night, at + later, { ...state }));
      }),
      runs(60),
    );
  });

  it('looks the same before and after the stack is tidied, then and for as long as nobody touches it', () => {
    const scripted = anyScript({ maxLength: 20 }).chain((script) => fc.tuple(fc.constant(script), fc.nat(9000), fc.nat(9000)));
    fc.assert(
      fc.property(scripted, ([script, wait, later]) => {
        const night = new Offline(bigLittleShow, script);
        const at = endOf(script) + wait;
        const state = night.state(at);
        const tidied = settle(night.show, state, START + at);
        for (const when of [at, at + later]) expect(night.frame(when, tidied)).toEqual(night.frame(when, state));
      }),
      runs(250),
    );
  });

  it('never jumps: no command changes the picture at its own instant, where every fade takes time', () => {
    fc.assert(
      fc.property(anyScript({ maxLength: 20 }), (script) => {
        const at = endOf(script);
        // A resume before the fallback has come lifts what is still to be seen over what comes: that may be seen at once.
        const fell = script.some(([when, { do: what }]) => what === 'fall-back' && at - when < 3000);
        fc.pre(!(fell && script.at(-1)?.[1].do === 'resume'));
        const night = new Offline(bigLittleShow, script);
        const before = new Offline(bigLittleShow, script.slice(0, -1)).frame(at);
        const after = night.frame(at);
        for (const [cell, value] of after.entries()) expect(value).toBeCloseTo(before[cell] ?? Number.NaN, 9);
      }),
      runs(250),
    );
  });

  it('keeps the stack short, its numbers numbers, and never throws', () => {
    fc.assert(
      fc.property(fc.array(anyCommand(['release', 'all-off']), { minLength: 150, maxLength: 200 }), (commands) => {
        const night = new Offline(bigLittleShow);
        let state = night.state(0);
        for (const [i, one] of commands.entries()) {
          state = reduce(night.show, state, one, START + i * 7);
          expect(state.entries.length).toBeLessThanOrEqual(64);
        }
        expect(night.frame(1500, state).every(Number.isFinite)).toBe(true);
        // Left alone for a while and touched once, there is no more of it than there are things to play, each once, or twice where a
        // colour between the two goes by the level of the lower; besides there may be what the fallback has taken away, its own look, and what somebody tries.
        const { entries } = reduce(night.show, state, { do: 'blackout', on: false }, START + 60_000);
        const passes = (entry: Entry): boolean => isAway(entry) || entry.isFallback === true || entry.isTried === true;
        const rested = entries.filter((entry) => !passes(entry)).map(({ item }) => item);
        // Of what comes back or goes again each may be such a colour between.
        const most = 2 + entries.filter(passes).length;
        for (const item of rested) expect(rested.filter((other) => other === item).length).toBeLessThanOrEqual(most);
      }),
      runs(15),
    );
  });
});
