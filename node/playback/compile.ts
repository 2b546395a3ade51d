import { type Millis, type Seconds, toMillis } from '../core/units.ts';
import { library } from '../rig/library.ts';
import { cellsOf, layOut, type Patched, type Rig } from '../rig/rig.ts';
import { type Button, type ItemKey, type ItemKind, itemKey, type Show } from '../show/document.ts';
import { chaseProgram } from './chase.ts';
import { movementProgram } from './movement.ts';
import { PartReader } from './parts.ts';
import { type Program, snapCells } from './program.ts';
import { stillProgram } from './still.ts';

export interface Item {
  readonly kind: ItemKind;
  readonly name: string;
  readonly program: Program;
  /** Ids of the fixtures that it speaks of. */
  readonly fixtures: ReadonlySet<string>;
  readonly fadeIn: Millis;
  readonly fadeOut: Millis;
  readonly stay: boolean;
  readonly unattended: boolean;
  /** Hits only: lets go by itself after this. */
  readonly longest?: Millis;
}

/** A show made ready to play: every name resolved to places in a frame. */
export interface CompiledShow {
  readonly show: Show;
  readonly rig: Rig;
  readonly items: ReadonlyMap<ItemKey, Item>;
  /** By id, with the keys of what it starts and stops. */
  readonly buttons: ReadonlyMap<string, CompiledButton>;
}

export interface CompiledButton {
  readonly button: Button;
  readonly starts: readonly ItemKey[];
  readonly stops: readonly ItemKey[];
}

/**
 * Takes a show that `show/read.ts` has checked. Each program is made when it is first asked for: the engine takes a show over between two
 * frames, and of one with thousands of looks only what plays may cost it time.
 */
export function compileShow(show: Show): CompiledShow {
  const rig = layOut(patch(show));
  const reader = new PartReader(show, rig);
  const snaps = snapCells(rig);
  const fixtureOf = new Map(rig.fixtures.flatMap((fixture) => cellsOf(fixture).map(([, cell]) => [cell, fixture.id] as const)));
  const items = new Map<ItemKey, Item>();
  const add = (
    kind: ItemKind,
    of: Show['looks' | 'chases' | 'movements' | 'hits'][number],
    make: () => Program,
    longest?: Seconds,
  ): void => {
    const program = once(make);
    const fixtures = once(() => new Set([...program().touches].map((cell) => fixtureOf.get(cell) ?? '')));
    items.set(`${kind}:${of.id}`, {
      kind,
      name: of.name,
      get program() {
        return program();
      },
      get fixtures() {
        return fixtures();
      },
      fadeIn: toMillis(of.fade),
      fadeOut: toMillis(of.fadeOut ?? of.fade),
      stay: of.stay,
      unattended: of.unattended,
      ...(longest === undefined ? {} : { longest: toMillis(longest) }),
    });
  };
  for (const look of show.looks) add('look', look, () => stillProgram(reader.cells(look.parts), snaps, true));
  for (const chase of show.chases) add('chase', chase, () => chaseProgram(chase, reader, snaps));
  for (const movement of show.movements) add('movement', movement, () => movementProgram(movement, reader));
  for (const hit of show.hits) add('hit', hit, () => stillProgram(reader.cells(hit.parts), snaps, false), hit.longest);
  const buttons = new Map(
    show.buttons.map((button) => [button.id, { button, starts: button.starts.map(itemKey), stops: button.stops.map(itemKey) }]),
  );
  return { show, rig, items, buttons };
}

function once<T extends object>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

function patch(show: Show): Patched[] {
  return show.fixtures.map((one) => {
    const type = show.fixtureTypes.find(({ id }) => id === one.type) ?? library.get(one.type);
    const mode = type?.modes.find(({ id }) => id === one.mode);
    if (type === undefined || mode === undefined) throw new Error(`fixture ${one.id}: no type ${one.type} with mode ${one.mode}`);
    return { id: one.id, type, mode, universe: one.universe, address: one.address, adjust: one };
  });
}
