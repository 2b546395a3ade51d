import type { FromRemote, Me, ToRemote } from '../../node/api/contract.ts';
import type { EditAnswer, Edited } from '../../node/api/edit-contract.ts';
import type { Command } from '../../node/core/commands.ts';
import { BEAT_EVERY, BEAT_IN_VIEW, BEATS_MISSED } from '../../node/core/remote.ts';
import { getMe } from './api.ts';
import { readLevels, readMessage } from './reading.ts';
import { Seeking } from './seeking.ts';
import {
  aims,
  clockOffset,
  forget,
  heardAt,
  hello,
  isSilent,
  levelsOf,
  link,
  me,
  picture,
  removed,
  seen,
  state,
  wireReport,
} from './state.ts';

/** A dead network gives no answer at all: an attempt that has not come through by then is given up. */
const CONNECT_WITHIN = 3000;
/** A line that may have died while the phone slept has this long to prove itself. */
const PROBE_WITHIN = 1000;
const ANSWER_WITHIN = 4000;
const SILENT_AFTER = 850;

interface Waiting {
  readonly resolve: (answer?: EditAnswer) => void;
  readonly reject: (error: Error) => void;
  readonly timer: number;
}

type ByHand = Omit<Extract<FromRemote, { type: 'by-hand' }>, 'type' | 'id'>;
type Without<Message> = Message extends unknown ? Omit<Message, 'id'> : never;
/** What is answered like an edit. */
type Editing = Without<Extract<FromRemote, { type: 'edit' | 'step' | 'restore' }>>;

/** The one line to the node: opens, beats, notices silence, opens again, and keeps `state.ts` at what the node says. */
class Connection {
  #socket: WebSocket | undefined;
  #nextId = 1;
  readonly #seeking = new Seeking(() => void this.#look());
  #probe: number | undefined;
  #wireRate = 0;
  readonly #waiting = new Map<number, Waiting>();
  readonly #beats = new Map<number, number>();
  readonly #lost = new Set<() => void>();
  readonly #handsLost = new Set<(to: string) => void>();
  readonly #editedBy = new Set<(edited: Edited) => void>();
  readonly #onShelf = new Set<() => void>();
  /** What has not been answered in time, and what to do if it is after all. */
  readonly #late = new Map<number, () => void>();

  start(): void {
    const wake = () => {
      if (document.visibilityState === 'visible') this.#wake();
    };
    document.addEventListener('visibilitychange', wake);
    addEventListener('pageshow', wake);
    addEventListener('online', wake);
    addEventListener('offline', wake);
    let beaten = 0;
    setInterval(() => {
      const now = performance.now();
      if (document.visibilityState !== 'visible' && now - beaten < BEAT_EVERY - BEAT_IN_VIEW / 2) return;
      beaten = now;
      this.#tick();
    }, BEAT_IN_VIEW);
    this.#seeking.now();
  }

  /** This browser has just been paired. */
  joined(answer: Me): void {
    removed.value = false;
    me.value = answer;
    this.#seeking.now();
  }

  /**
   * Resolves when the node has done it. Rejects with a sentence for the person: refused, not reached, or no answer.
   * @param late what to do if the answer comes after it was given up
   */
  send(command: Command, late?: () => void): Promise<void> {
    return this.#ask((id) => ({ type: 'command', id, command }), late).then(() => undefined);
  }

  /** By hand, over whatever plays; neither `slots` nor `identify`: nothing any more. */
  byHand(what: ByHand): Promise<void> {
    return this.#ask((id) => ({ type: 'by-hand', id, ...what })).then(() => undefined);
  }

  /** Changes the show. Rejects like {@link send}. */
  async change(what: Editing): Promise<EditAnswer> {
    const answer = await this.#ask((id) => ({ ...what, id }));
    if (answer === undefined) throw new Error('The node has answered something else');
    return answer;
  }

  /** What a pull comes to just now: to the lights alone. Nobody answers, and an edit follows. */
  sample(sample: Extract<FromRemote, { type: 'sample' }>['sample']): void {
    this.#say({ type: 'sample', sample });
  }

  /** Calls `act` with every edit that anybody makes, this page too. */
  onEdited(act: (edited: Edited) => void): () => void {
    this.#editedBy.add(act);
    return () => this.#editedBy.delete(act);
  }

  /** Calls `act` whenever there are other shows than before, or another one is edited. */
  onShelf(act: () => void): () => void {
    this.#onShelf.add(act);
    return () => this.#onShelf.delete(act);
  }

  /** Levels and wire reports, `rate` frames a second at most; 0 ends it. Asked for again after the line was lost. */
  watchWire(rate: number): void {
    this.#wireRate = rate;
    this.#say({ type: 'watch-wire', rate });
  }

  /** Says at once that somebody is here. */
  beat(): void {
    const id = this.#nextId++;
    this.#beats.set(id, performance.now());
    const { trip } = link.value;
    this.#say({ type: 'beat', id, ...(trip === undefined ? {} : { trip }) });
  }

  /** Calls `act` with the name of the phone that has taken what this page drove by hand. */
  onHandsLost(act: (to: string) => void): () => void {
    this.#handsLost.add(act);
    return () => this.#handsLost.delete(act);
  }

  /** Calls `act` whenever the line is lost. */
  onLost(act: () => void): () => void {
    this.#lost.add(act);
    return () => this.#lost.delete(act);
  }

  /**
   * Asks who this browser is to the node, and opens the line if it is paired. By plain requests, since browsers put off sockets that have
   * failed often; and they tell a phone that was removed from one that cannot get through. The first answer that comes through counts.
   */
  async #look(): Promise<void> {
    const answer = await getMe().catch(() => undefined);
    if (answer === undefined || !this.#seeking.isOn) return;
    this.#seeking.stop();
    if (answer.remote === null && me.value?.remote) forget();
    me.value = answer;
    if (answer.remote !== null) this.#open();
  }

  #open(): void {
    const socket = new WebSocket(`${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/ws`);
    socket.binaryType = 'arraybuffer';
    this.#drop();
    this.#socket = socket;
    const late = setTimeout(() => this.#fail(socket), CONNECT_WITHIN);
    socket.onopen = () => {
      clearTimeout(late);
      this.beat();
      if (this.#wireRate > 0) this.watchWire(this.#wireRate);
    };
    socket.onmessage = ({ data }) => this.#hear(data as string | ArrayBuffer);
    socket.onclose = () => {
      clearTimeout(late);
      this.#fail(socket);
    };
  }

  /** Leaves the present socket behind; nothing that it still says is heard. */
  #drop(): void {
    const socket = this.#socket;
    this.#socket = undefined;
    if (socket === undefined) return;
    socket.onopen = socket.onmessage = socket.onclose = null;
    socket.close();
  }

  #fail(socket: WebSocket): void {
    if (socket !== this.#socket) return;
    const wasOpen = link.value.phase === 'open';
    this.#drop();
    clearTimeout(this.#probe);
    this.#probe = undefined;
    this.#beats.clear();
    for (const { reject, timer } of this.#waiting.values()) {
      clearTimeout(timer);
      reject(new Error('The line to the node broke before it answered'));
    }
    this.#waiting.clear();
    this.#late.clear();
    if (wasOpen) {
      link.value = { phase: 'lost', trip: undefined };
      for (const act of this.#lost) act();
      this.#seeking.now();
    } else {
      this.#seeking.later();
    }
  }

  /** The page or the network is back: no waiting for the next try, and no trust in a line that may be dead. */
  #wake(): void {
    if (this.#seeking.isOn) {
      this.#seeking.now();
      return;
    }
    const socket = this.#socket;
    if (socket === undefined) return;
    if (socket.readyState !== WebSocket.OPEN || this.#probe !== undefined) return;
    const asked = performance.now();
    this.beat();
    this.#probe = setTimeout(() => {
      this.#probe = undefined;
      if (heardAt.value < asked) this.#fail(socket);
    }, PROBE_WITHIN);
  }

  #tick(): void {
    const socket = this.#socket;
    if (socket === undefined || socket.readyState !== WebSocket.OPEN) return;
    const silent = performance.now() - heardAt.value;
    isSilent.value = silent > SILENT_AFTER;
    // Half a beat early, so that three seconds are not four. A page that has just woken has not been listening: the probe decides.
    if (link.value.phase === 'open' && this.#probe === undefined && silent > (BEATS_MISSED - 0.5) * BEAT_EVERY) this.#fail(socket);
    else this.beat();
  }

  #ask(message: (id: number) => FromRemote, late?: () => void): Promise<EditAnswer | undefined> {
    const id = this.#nextId++;
    return new Promise((resolve, reject) => {
      if (!this.#say(message(id))) return reject(new Error('The node cannot be reached just now'));
      const timer = setTimeout(() => {
        this.#waiting.delete(id);
        if (late !== undefined) this.#late.set(id, late);
        reject(new Error('The node has not answered'));
      }, ANSWER_WITHIN);
      this.#waiting.set(id, { resolve, reject, timer });
    });
  }

  #say(message: FromRemote): boolean {
    if (this.#socket?.readyState !== WebSocket.OPEN) return false;
    this.#socket.send(JSON.stringify(message));
    return true;
  }

  #hear(data: string | ArrayBuffer): void {
    const now = performance.now();
    heardAt.value = now;
    isSilent.value = false;
    if (typeof data === 'string') {
      const message = readMessage(data);
      if (message !== undefined) this.#take(message, now);
      return;
    }
    const levels = readLevels(data);
    if (levels !== undefined) levelsOf(levels.universe).value = levels.slots;
  }

  #take(message: ToRemote, now: number): void {
    switch (message.type) {
      case 'hello':
        // Another version of the node brings another version of this page along, and may speak otherwise.
        if (hello.value !== undefined && hello.value.node.version !== message.node.version) location.reload();
        hello.value = message;
        clockOffset.value = message.now - now;
        link.value = { phase: 'open', trip: undefined };
        return;
      case 'state':
        state.value = message.state;
        return;
      case 'picture':
        picture.value = message.colours;
        aims.value = message.aims;
        return;
      case 'picture-change':
        picture.value = changed(picture.value, message.colours);
        aims.value = changed(aims.value, message.aims);
        return;
      case 'seen':
        seen.value = message;
        return;
      case 'hands-lost':
        for (const act of this.#handsLost) act(message.to);
        return;
      case 'wire':
        wireReport.value = message;
        return;
      case 'beat': {
        const sent = this.#beats.get(message.id);
        if (sent === undefined) return;
        this.#beats.delete(message.id);
        const trip = now - sent;
        link.value = { ...link.value, trip };
        clockOffset.value = message.at + trip / 2 - now;
        return;
      }
      case 'shelf':
        for (const act of this.#onShelf) act();
        return;
      case 'change':
        for (const act of this.#editedBy) act(message.change);
        return;
      case 'edited':
      case 'done':
      case 'refused': {
        const waiting = this.#waiting.get(message.id);
        if (waiting === undefined) {
          if (message.type !== 'refused') this.#late.get(message.id)?.();
          this.#late.delete(message.id);
          return;
        }
        this.#waiting.delete(message.id);
        clearTimeout(waiting.timer);
        if (message.type === 'refused') waiting.reject(new Error(message.error));
        else waiting.resolve(message.type === 'edited' ? message.answer : undefined);
        return;
      }
    }
  }
}

/** A row of values with some of them changed: places and values, one after the other. */
function changed(row: readonly number[], by: readonly number[]): readonly number[] {
  if (by.length === 0) return row;
  const after = [...row];
  for (let i = 0; i + 1 < by.length; i += 2) after[by[i] as number] = by[i + 1] as number;
  return after;
}

export const connection = new Connection();
