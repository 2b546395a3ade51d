import { channel, description, plain } from './made-file.ts';

const many = (count: number, one: (i: number) => string): string => Array.from({ length: count }, (_, i) => one(i)).join('');
const fn = (i: number, attribute: string, more = '') =>
  `<ChannelFunction Name="f${i}" Attribute="${attribute}" DMXFrom="${i % 65536}/2" ${more}/>`;
const geometry = (count: number) => `<Geometry Name="Body">${many(count, (i) => `<Beam Name="B${i}"/>`)}</Geometry>`;
const at = (i: number) => `Geometry="B${i}"`;

/** Small files that ask for much work, by what they do. Each is read or refused. */
export const costlyFiles: Readonly<Record<string, () => string>> = {
  'thousands of functions, each under a condition of its own': () =>
    description({
      channels: many(200, (i) =>
        channel(
          `${i + 1}`,
          'Zoom',
          many(500, (k) => fn(k, 'Zoom', `ModeMaster="Body_Dimmer" ModeFrom="${k}/2"`)),
        ),
      ),
    }),
  'hundreds of geometries side by side, each with hundreds of attributes': () =>
    description({
      geometries: geometry(500),
      channels: many(500, (i) =>
        channel(
          `${i + 1}`,
          'a',
          many(250, (k) => fn(k, `a${k}`)),
          at(i),
        ),
      ),
    }),
  'copies of copies of geometries': () =>
    description({
      geometries: many(
        15,
        (i) =>
          `<Geometry Name="${i === 0 ? 'Body' : `G${i}`}">${many(8, (k) => `<GeometryReference Name="r${i}.${k}" Geometry="G${i + 1}"/>`)}</Geometry>`,
      ),
      modes: many(100, (i) => `<DMXMode Name="m${i}" Geometry="Body"><DMXChannels>${plain('1', 'Dimmer')}</DMXChannels></DMXMode>`),
    }),
  'masters with thousands of copies': () =>
    description({
      geometries: `<Geometry Name="Body">${many(500, (i) => `<GeometryReference Name="r${i}" Geometry="P"><Break DMXOffset="${i + 1}"/></GeometryReference>`)}</Geometry><Beam Name="P"/>`,
      channels:
        plain('1', 'Control1', '', 'Geometry="P"').repeat(10) +
        channel(
          '1',
          'Zoom',
          many(200, (k) => fn(k, 'Zoom', `ModeMaster="P_Control1.Control1.f${k}"`)),
          'Geometry="Body"',
        ),
    }),
  'hundreds of sets in every function': () =>
    description({
      wheels: `<Wheel Name="W">${'<Slot Name="x"/>'.repeat(64)}</Wheel>`,
      channels: many(250, (i) =>
        channel(
          `${i + 1}`,
          'Gobo1',
          `<ChannelFunction Name="g" Attribute="Gobo1" Wheel="W">${many(500, (k) => `<ChannelSet Name="x" DMXFrom="${k % 256}/1" WheelSlotIndex="${k % 64}"/>`)}</ChannelFunction>`,
        ),
      ),
    }),
  'a deep tree that shares its attributes': () =>
    description({
      geometries: `${many(50, (i) => `<Axis Name="${i === 0 ? 'Body' : `A${i}`}">`)}${many(400, (i) => `<Beam Name="B${i}"/>`)}${'</Axis>'.repeat(50)}`,
      channels: many(400, (i) =>
        channel(
          `${i + 1}`,
          'Dimmer',
          many(250, (k) => fn(k, `c${k % 200}`)),
          at(i),
        ),
      ),
    }),
  'long names in every place': () =>
    description({
      channels: many(80, (i) => channel(`${i + 1}`, 'Dimmer', fn(0, 'x'.repeat(90_000)))),
    }),
  'a hundred profiles of a thousand points': () =>
    description({
      physical: `<DMXProfiles>${many(100, (i) => `<DMXProfile Name="p${i}">${many(1000, (k) => `<Point DMXPercentage="${k / 10}" CFC0="${k / 10}"/>`)}</DMXProfile>`)}</DMXProfiles>`,
      channels: many(100, (i) => plain(`${i + 1}`, 'Dimmer', `DMXProfile="p${i}"`)),
    }),
  'masters in a ring and in a long chain': () =>
    description({
      geometries: geometry(500),
      channels: many(500, (i) =>
        plain(`${i + 1}`, `Control${i}`, `ModeMaster="B${(i + 1) % 500}_Control${(i + 1) % 500}" ModeTo="255/1"`, at(i)),
      ),
    }),
};
