import { z } from 'zod';
import { attributes, type DirectName, directNames } from '../core/attributes.ts';
import { FASTEST_TEMPO, SLOWEST_TEMPO } from '../core/limits.ts';
import { universeNumber } from '../core/output-settings.ts';
import { plainLines, plainText } from '../core/text.ts';
import type { Seconds } from '../core/units.ts';
import { colour, themeColour } from '../light/colour-value.ts';
import { adjustments } from '../rig/adjustments.ts';
import { fixtureType, id } from '../rig/fixture-type.ts';
import { metres, point, pose } from '../rig/pose.ts';
import { byPlace, inOrder, orderKey } from './order.ts';

/**
 * The shape of a show: what must hold at all times, also of a draft that somebody is still working on. A look without parts, a button
 * that starts nothing, a fixture without an address are drafts; `faults.ts` says what keeps a draft from being played.
 */

/** Version of the document format. A change that older nodes would misread raises it and adds a step to `versions.ts`. */
export const SHOW_VERSION = 4;

/** However little somebody minds: a beam that stands for longer than this is stared into by somebody. Common practice, no source. */
export const LONGEST_REST: Seconds = 20;

export const uses = [
  'uplight',
  'dance wash',
  'ceiling wash',
  'totem',
  'facade',
  'blinder',
  'spot',
  'beam',
  'texture',
  'centrepiece',
  'haze',
  'laser',
] as const;

const name = plainText.trim().min(1).max(80);
/** Lightness beside a lamp's own full light, as `light/lightness.ts` has it. */
const level = z.number().min(0).max(1);
const share = z.number().min(0).max(1);
const seconds = z.number().min(0).max(3600);

/** What may be asked of an attribute, in its unit. */
function asked(name: DirectName): z.ZodNumber {
  const { unit, range } = attributes[name];
  return (unit === 'slot' ? z.int() : z.number()).min(range[0]).max(range[1]);
}
const anyValue = Object.fromEntries(directNames.map((name) => [name, asked(name).exactOptional()])) as {
  [Name in DirectName]: z.ZodExactOptional<z.ZodNumber>;
};

/** Which fixtures: by use, group or name; or all of them. */
const who = z.union([
  z.strictObject({ use: z.enum(uses) }),
  z.strictObject({ group: id }),
  z.strictObject({ fixture: id }),
  z.strictObject({ all: z.literal(true) }),
]);

const angles = z.strictObject({ pan: asked('Pan'), tilt: asked('Tilt') });

/** How heads are dealt out over an area: side by side, each beside the next from where it stands, or in rows one behind the other. */
const deals = ['row', 'fan', 'grid'] as const;

/**
 * Where heads look: by angles; or at a landmark or a point of the room, and then `angles` are for those that have no place there themselves.
 */
const aim = z.union([
  angles,
  z.strictObject({ landmark: id, deal: z.enum(deals).optional(), angles: angles.optional() }),
  z.strictObject({ point, angles: angles.optional() }),
]);

/** What some fixtures shall do. What it does not name is left to what plays below. */
const part = z.strictObject({
  who: z.array(who),
  level: asked('Dimmer').optional(),
  /** One colour, or several dealt out in turn over the fixtures. */
  colour: z.union([colour, z.array(colour).min(1)]).optional(),
  /** Each lamp its best in its colour, or all as bright as the weakest of them: equal over unlike lamps. */
  brightness: z.enum(['best', 'match']).default('best'),
  aim: aim.optional(),
  /** Its heads are meant to rest where it aims them: a first dance, a cake. Otherwise no beam rests where guests may look into it. */
  focus: z.boolean().optional(),
  /** Slot of the gobo wheel, from 1 (open). */
  gobo: asked('Gobo1').optional(),
  zoom: asked('Zoom').optional(),
  uv: asked('ColorAdd_UV').optional(),
  strobe: asked('Shutter1Strobe').optional(),
  haze: asked('Haze1').optional(),
  fan: asked('Fan1').optional(),
  /** Any other attribute by its GDTF name, in its unit. Emitters follow from the colour. */
  attributes: z.strictObject(anyValue).optional(),
});

/** A stretch of time: seconds by the clock, or beats by the tempo. */
const stretch = z.union([
  z.strictObject({ seconds: z.number().min(0.02).max(3600) }),
  z.strictObject({ beats: z.number().min(0.0625).max(256) }),
]);

/** What the things of a list share. */
const listed = { id, order: orderKey.optional(), name };

const playable = {
  ...listed,
  /** Seconds to come in; and to go, unless `fadeOut` says otherwise. */
  fade: seconds.default(2),
  fadeOut: seconds.optional(),
  /** Stays in the stack when it is wholly covered: what the room falls back to. */
  stay: z.boolean().default(false),
  /** May go on when no remote is there. */
  unattended: z.boolean().default(false),
};

const look = z.strictObject({ ...playable, parts: z.array(part) });

const chase = z.strictObject({
  ...playable,
  steps: z
    .array(
      z.strictObject({
        /** From the start of the step to the start of the next. */
        length: stretch,
        /** Share of the step that is spent coming over from the step before. */
        fade: share.default(0),
        parts: z.array(part),
      }),
    )
    .max(256),
});

const movement = z.strictObject({
  ...playable,
  who: z.array(who),
  figure: z.enum(['circle', 'eight', 'sweep', 'drift', 'cross-over', 'fan']),
  /** Centre of the figure; absent: wherever the heads are aimed below. */
  aim: aim.optional(),
  /** From the centre to the far point: degrees of pan and tilt, or metres along the room's x and y. */
  size: z.union([
    z.strictObject({ pan: z.number().min(0).max(180), tilt: z.number().min(0).max(90) }),
    z.strictObject({ width: z.number().min(0).max(50), depth: z.number().min(0).max(50) }),
  ]),
  period: stretch,
  /** How far the heads are apart on the figure, together: 0 all as one, 1 spread over the whole figure. */
  spread: share.default(0),
  /** Every other head turns the other way. */
  mirror: z.boolean().default(false),
});

const hit = z.strictObject({
  ...playable,
  fade: seconds.default(0),
  parts: z.array(part),
  /** Seconds after which it lets go by itself, whatever holds it. */
  longest: z.number().min(0.1).max(30).default(8),
});

/** One thing that can play. */
export const itemRef = z.union([
  z.strictObject({ look: id }),
  z.strictObject({ chase: id }),
  z.strictObject({ movement: id }),
  z.strictObject({ hit: id }),
]);

const button = z.strictObject({
  ...listed,
  /** What guests will see, in one line. */
  line: plainText.max(120).default(''),
  starts: z.array(itemRef),
  stops: z.array(itemRef).default([]),
  /** Besides, whatever else plays on the fixtures that it speaks of is let go, but for what is marked to stay: a new scene. */
  alone: z.boolean().default(false),
});

/** A part of the evening. */
const moment = z.strictObject({
  ...listed,
  /** Those that a person will want in it, in their order. */
  buttons: z.array(id).default([]),
  /** What begins with it and what goes. */
  starts: z.array(itemRef).default([]),
  stops: z.array(itemRef).default([]),
  /** As of a button. */
  alone: z.boolean().optional(),
  /** When it is due, by the clock on the wall: a reminder, unless it is `automatic`. */
  at: z
    .string()
    .regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'must be a time of day such as "21:30"' })
    .optional(),
  /** It begins by itself at its time. */
  automatic: z.boolean().optional(),
  /** What whoever plays wants to remember of it. */
  notes: plainText.max(500).optional(),
});

const startAddress = z.int().min(1).max(512);

const fixture = z.strictObject({
  ...listed,
  type: id,
  mode: id,
  universe: universeNumber.optional(),
  /** Start address: its first slot, from 1. */
  address: startAddress.optional(),
  /** Of a lamp with several start addresses the others, in the order of its breaks. */
  further: z
    .array(z.strictObject({ universe: universeNumber, address: startAddress }))
    .max(63)
    .optional(),
  use: z.enum(uses),
  /** Where it is in the room and how it is put up there; absent: nobody has said. */
  pose: pose.optional(),
  ...adjustments.shape,
});

/** A named point of the room, or an area around it: level, its sides along the room's axes before it is turned. */
const landmark = z.strictObject({
  ...listed,
  ...point.shape,
  area: z
    .strictObject({
      /** Metres along x and along y, and degrees from x towards y. */
      width: z.number().gt(0).max(1000),
      depth: z.number().gt(0).max(1000),
      turned: z.number().min(-360).max(360).default(0),
    })
    .optional(),
  /** Where eyes may be over its area, between heights in metres; or nowhere. Absent: as on any floor. */
  people: z
    .union([z.literal('none'), z.strictObject({ from: metres, to: metres })])
    .refine((at) => at === 'none' || at.from < at.to, { error: 'must be the lower height first' })
    .optional(),
});

const group = z.strictObject({ ...listed, fixtures: z.array(id) });
const colourOfTheme = z.strictObject({ ...listed, value: themeColour });

/** What a show says once. */
const single = {
  name,
  /** Invented throughout, to try things out with. */
  demo: z.boolean().default(false),
  notes: plainLines.max(10_000).default(''),
  /** What plays when the show is started afresh. */
  start: z.array(itemRef).default([]),
  /** Levels of the masters at a fresh start. */
  masters: z.strictObject({ all: level.default(1), groups: byId(level).default({}) }).default({ all: 1, groups: {} }),
  /** Seconds for which a beam may rest where eyes may be. Common practice, no source. */
  mayRest: z.number().min(1).max(LONGEST_REST).default(6),
  /** Beats a minute until somebody taps another tempo. */
  tempo: z.number().min(SLOWEST_TEMPO).max(FASTEST_TEMPO).default(120),
  /** What an attended show does when its last remote drops. */
  fallback: z.union([z.literal('blackout'), z.strictObject({ look: id })]).default('blackout'),
  /** Seconds that a remote may be silent (a phone that locks itself), then seconds of warning before the fallback. */
  remoteWatch: z
    .strictObject({ allow: z.number().min(5).max(600).default(60), countdown: z.number().min(5).max(120).default(20) })
    .default({ allow: 60, countdown: 20 }),
};

/** Values by the ids of other things. A record of the schema library passes `__proto__` over without a word. */
function byId<Value extends z.ZodType>(value: Value) {
  return z.preprocess(
    (json, context) => {
      if (typeof json === 'object' && json !== null && Object.hasOwn(json, '__proto__'))
        context.addIssue({ code: 'custom', path: ['__proto__'], message: 'is no id' });
      return json;
    },
    z.record(id, value),
  );
}

/** The show itself as a thing: what it says once, and the name of its theme. */
export const ofShow = z.strictObject({ id, ...single, themeName: name });

/** The things that a show is a list of, by kind: what one is, where in the document they stand, and how many there may be at most. */
export const kinds = {
  themeColour: { one: colourOfTheme, path: 'theme.colours', most: 32 },
  /** Types of this show only; the library's need no mention. */
  fixtureType: { one: fixtureType, path: 'fixtureTypes', most: 2000 },
  fixture: { one: fixture, path: 'fixtures', most: 2000 },
  group: { one: group, path: 'groups', most: 1000 },
  /** Named places of the room. */
  landmark: { one: landmark, path: 'landmarks', most: 500 },
  look: { one: look, path: 'looks', most: 5000 },
  chase: { one: chase, path: 'chases', most: 2000 },
  movement: { one: movement, path: 'movements', most: 2000 },
  hit: { one: hit, path: 'hits', most: 2000 },
  button: { one: button, path: 'buttons', most: 2000 },
  moment: { one: moment, path: 'moments', most: 1000 },
} as const;

interface KindOf<One> {
  readonly one: One;
  readonly most: number;
}

/** No id twice, and in the order of their ids. */
const set = <One extends z.ZodObject<{ id: typeof id }>>({ one, most }: KindOf<One>) =>
  z
    .array(one)
    .max(most)
    .superRefine(noneTwice)
    .transform((all) => all.sort(byPlace))
    .default([]);

/** No id twice, and in the order of their keys. */
const list = <One extends z.ZodObject<{ id: typeof id; order: z.ZodOptional<typeof orderKey> }>>({ one, most }: KindOf<One>) =>
  z
    .array(one)
    .max(most)
    .superRefine(noneTwice)
    .transform((all) => inOrder(all))
    .default([]);

function noneTwice(all: readonly { readonly id: string }[], context: z.RefinementCtx): void {
  const seen = new Set<string>();
  for (const [i, { id }] of all.entries()) {
    if (seen.has(id)) context.addIssue({ code: 'custom', path: [i, 'id'], message: `"${id}" is given twice` });
    seen.add(id);
  }
}

export const showDocument = z.strictObject({
  $schema: plainText.max(300).optional(),
  format: z.literal('duskhand-show'),
  version: z.literal(SHOW_VERSION),
  id,
  ...single,
  theme: z.strictObject({ name, colours: list(kinds.themeColour) }),
  fixtureTypes: set(kinds.fixtureType),
  fixtures: list(kinds.fixture),
  groups: list(kinds.group),
  landmarks: list(kinds.landmark),
  looks: list(kinds.look),
  chases: list(kinds.chase),
  movements: list(kinds.movement),
  hits: list(kinds.hit),
  buttons: list(kinds.button),
  moments: list(kinds.moment),
});

export type Show = z.infer<typeof showDocument>;
export type Part = z.infer<typeof part>;
export type Aim = z.infer<typeof aim>;
export type Angles = z.infer<typeof angles>;
export type Landmark = z.infer<typeof landmark>;
export type Who = z.infer<typeof who>;
export type Chase = z.infer<typeof chase>;
export type Movement = z.infer<typeof movement>;
export type ItemRef = z.infer<typeof itemRef>;
export type Button = z.infer<typeof button>;
export type Moment = z.infer<typeof moment>;

export const itemKinds = ['look', 'chase', 'movement', 'hit'] as const;
export type ItemKind = (typeof itemKinds)[number];

/** `look:dinner`: how the stack and the messages name an item. */
export type ItemKey = `${ItemKind}:${string}`;

export function itemKey(ref: ItemRef): ItemKey {
  if ('look' in ref) return `look:${ref.look}`;
  if ('chase' in ref) return `chase:${ref.chase}`;
  if ('movement' in ref) return `movement:${ref.movement}`;
  return `hit:${ref.hit}`;
}
