import { attribute } from '../core/attributes.ts';
import { own } from '../core/own.ts';
import type { Millis } from '../core/units.ts';
import { buttonNotes, type CompiledShow } from '../playback/compile.ts';
import { dueAt, momentsTonight } from '../playback/evening.ts';
import { canResume, isHit, watchOf } from '../playback/fallback.ts';
import { hiddenOf, settle } from '../playback/stack.ts';
import {
  type Entry,
  flashLimit,
  isAway,
  isHazeAllowed,
  isOn,
  levelOf,
  type PlayState,
  type Undo,
  weightOf,
} from '../playback/state.ts';
import { isLaser } from '../rig/is-laser.ts';
import type { ButtonState, EveningState, Playing, State, WatchState } from './contract.ts';
import type { Control } from './control.ts';
import { diskTrouble, type Outlook, troublesOf } from './troubles.ts';

type Played = Pick<Control, 'show' | 'state' | 'tonight' | 'lastSign' | 'diskFails' | 'lost'>;

/** What plays at an instant, as remotes are told it. */
export function stateOf(control: Played, outlook: Outlook, now: Millis): State {
  const { show } = control;
  const state = settle(show, control.state, now);
  const hidden = hiddenOf(show, state, now);
  return {
    now,
    playing: state.entries.map((entry) => playing(show, entry, now, hidden)),
    buttons: show.show.buttons.map(({ id, name, line }) => {
      const notes = buttonNotes(show, id);
      return { id, name, line, ...(notes.length > 0 && { notes }), ...buttonState(show, state, id, now, hidden) };
    }),
    masters: {
      all: state.all.to,
      groups: Object.fromEntries(show.groups.map(({ id }) => [id, own(state.groups, id)?.to ?? 1])),
    },
    blackout: state.blackout,
    bpm: state.tempo.bpm,
    ...(state.undo === undefined ? {} : { undo: undoState(show, state.undo, state) }),
    ...(show.moments.length > 0 && { evening: eveningState(control, state) }),
    ...(state.left === undefined || state.left.until <= now ? {} : { left: state.left }),
    hazeAllowed: isHazeAllowed(state, now),
    crew: state.crew !== undefined,
    ...(show.rig.fixtures.some(isLaser) && { lasers: state.lasers === undefined ? ('closed' as const) : ('armed' as const) }),
    flashes: flashLimit(state),
    watch: watchState(control, state, now),
    troubles: [
      ...control.lost.map((lost, i) => ({ id: `lost-${i + 1}`, ...lost })),
      ...troublesOf(outlook),
      ...(control.diskFails ? [diskTrouble] : []),
    ],
  };
}

function eveningState({ show, tonight }: Played, state: PlayState): EveningState {
  return {
    wall: tonight.wall,
    on: state.evening?.moment ?? null,
    late: state.evening?.late ?? 0,
    moments: momentsTonight(show, state).map((moment) => {
      const at = dueAt(show, state, moment, tonight);
      return { id: moment.id, ...(at === undefined ? {} : { at }), ...(moment.automatic && { automatic: true as const }) };
    }),
  };
}

function playing(show: CompiledShow, entry: Entry, now: Millis, hidden: ReadonlySet<number>): Playing {
  const weight = weightOf(entry, now) * (entry.away === undefined ? 1 : 1 - levelOf(entry.away, now));
  const item = show.items.get(entry.item);
  return {
    item: entry.item,
    name: item?.name ?? entry.item,
    button: entry.button ?? null,
    unattended: item?.unattended ?? false,
    state: isAway(entry) ? 'away' : !isOn(entry, now) ? 'going' : weight < 1 ? 'coming' : 'on',
    weight,
    ...(entry.isTried && { tried: true }),
    isUnderneath: hidden.has(entry.id),
    startedAt: entry.startedAt,
  };
}

/** A button is on when everything that it starts is, and partly on while some of what it has started is; what comes or goes slowest says how long that takes. */
function buttonState(
  show: CompiledShow,
  state: PlayState,
  button: string,
  now: Millis,
  hidden: ReadonlySet<number>,
): Pick<ButtonState, 'state' | 'fade'> {
  const starts = show.buttons.get(button)?.starts ?? [];
  const newest = starts.map((key) => state.entries.findLast(({ item }) => item === key)).filter((entry) => entry !== undefined);
  if (newest.length < starts.length || newest.some(isAway)) {
    const isLeft = (entry: Entry): boolean =>
      entry.button === button && isOn(entry, now) && !isAway(entry) && !hidden.has(entry.id);
    return { state: newest.some(isLeft) ? 'partly' : 'off' };
  }
  const going = newest.filter((entry) => !isOn(entry, now));
  if (going.length > 0) {
    const from = Math.min(...going.map(({ release }) => release?.at ?? now));
    return {
      state: 'going',
      fade: { from, until: Math.max(...going.map(({ release }) => (release?.at ?? now) + (release?.fade ?? 0))) },
    };
  }
  const until = Math.max(...newest.map(({ rise }) => rise.at + rise.duration));
  if (newest.every(({ id }) => hidden.has(id))) return { state: 'underneath' };
  if (until <= now) return { state: 'on' };
  return { state: 'coming', fade: { from: Math.min(...newest.map(({ rise }) => rise.at)), until } };
}

/** What taking the last press back brings: the newest of what it let go, or of what was on before. */
function undoState(
  show: CompiledShow,
  { number, at, before, firstId, letGo }: Undo,
  { entries }: PlayState,
): NonNullable<State['undo']> {
  const nameOf = (entry: Entry | undefined): string | undefined =>
    show.show.buttons.find(({ id }) => id === entry?.button)?.name ?? (entry && show.items.get(entry.item)?.name);
  const on = before.filter((entry) => isOn(entry, at) && !isAway(entry) && !isHit(show, entry));
  const entry = on.findLast(({ id }) => letGo.includes(id)) ?? on.findLast((one) => !isAir(show, one)) ?? on.at(-1);
  const added = entries.filter(({ id }) => id >= firstId);
  const without =
    letGo.length === 0 && added.length > 0 && added.every((one) => isAir(show, one)) ? nameOf(added.at(-1)) : undefined;
  return { number, at, to: nameOf(entry) ?? null, ...(without === undefined ? {} : { without }) };
}

/** Puts haze into the air and gives no light: it stays on under the next look, so going back from that is no going back to it. */
function isAir({ items, rig }: CompiledShow, { item }: Entry): boolean {
  const program = items.get(item)?.program;
  if (program === undefined || !('values' in program)) return false;
  const names = [...program.cells].map((cell) => rig.attributeOf[cell] ?? 'NoFeature');
  return names.some((name) => attribute(name).hazes) && names.every((name) => attribute(name).hazes || name === 'Fan1');
}

function watchState(control: Played, state: PlayState, now: Millis): WatchState {
  const { show } = control;
  const { phase, fallsBackAt } = watchOf(show, state, control.lastSign, now);
  const words = (show.fallback === undefined ? undefined : show.items.get(show.fallback)?.name) ?? 'blackout';
  const at = phase === 'warned' ? fallsBackAt : phase === 'fallen' ? state.entries.find(isAway)?.away?.at : undefined;
  return { phase, fallback: words, canResume: canResume(state), ...(at === undefined ? {} : { at }) };
}
