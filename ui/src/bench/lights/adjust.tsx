import type { EmitterName } from '../../../../node/core/attributes.ts';
import type { Mode } from '../../../../node/rig/fixture-type.ts';
import { Push } from '../../parts/push.tsx';
import { readStrength, writeShare } from '../amounts.ts';
import { type Field, waitsFor, want } from '../edits.ts';
import { Pull } from '../inputs.tsx';
import { Typed } from '../typed.tsx';
import { nameOfAttribute } from './attributes.ts';
import { Mark, PickOne } from './fields.tsx';
import { adjustableIn, type Light } from './making.ts';

type Axis = 'pan' | 'tilt';

/** Below these a lamp is not trimmed: the document has the same bounds. */
const LEAST_TRIM = 0.2;
const LEAST_LIGHT = 0.01;

/** How one lamp differs from its kind: by the way it hangs and by its wear. */
export function Adjust({ light, mode }: { readonly light: Light; readonly mode: Mode | undefined }) {
  const { pan, tilt, emitters } = adjustableIn(mode);
  const field = (name: keyof Light): Field => ({ kind: 'fixture', id: light.id, field: name });
  const now = <K extends keyof Light>(name: K): Light[K] => {
    const waits = waitsFor(field(name));
    return waits === undefined ? light[name] : (waits.now as Light[K]);
  };
  const put = (name: keyof Light, value: unknown, gesture?: string): void =>
    want({ ...field(name), now: value, ...(gesture === undefined ? {} : { gesture }) });
  const invert = now('invert') ?? { pan: false, tilt: false };
  const dim = now('dim');
  const trim = now('trim') ?? {};
  const { length: many } = Object.keys(light).filter((name) =>
    ['invert', 'swapPanTilt', 'limits', 'trim', 'dim', 'strength', 'dimming'].includes(name),
  );
  return (
    <details class="lights-adjust">
      <summary>
        Adjust this one lamp{' '}
        <span class="quiet">{many === 0 ? 'it is as its kind' : `${many} ${many === 1 ? 'thing is' : 'things are'} set`}</span>
      </summary>
      <p class="quiet">Set here or in the lamp’s own menu, not in both.</p>
      {(['pan', 'tilt'] as const)
        .filter((axis) => (axis === 'pan' ? pan : tilt))
        .map((axis) => (
          <Mark
            key={axis}
            label={`Its ${axis} runs the other way`}
            hint="as when it hangs upside down or looks back"
            value={invert[axis]}
            onMark={(on) => {
              const next = { ...invert, [axis]: on };
              put('invert', next.pan || next.tilt ? next : undefined);
            }}
          />
        ))}
      {pan && tilt && (
        <Mark
          label="Its pan and tilt are swapped"
          hint="as when it is clamped to an upright"
          value={now('swapPanTilt') === true}
          onMark={(on) => put('swapPanTilt', on || undefined)}
        />
      )}
      {(['pan', 'tilt'] as const)
        .filter((axis) => (axis === 'pan' ? pan : tilt))
        .map((axis) => (
          <Within key={axis} axis={axis} limits={now('limits')} onPut={(limits) => put('limits', limits)} />
        ))}
      <Pull
        label="Most light that it gives"
        value={dim ?? 1}
        onPull={(level, gesture) => put('dim', level >= 1 ? undefined : Math.max(LEAST_LIGHT, level), gesture)}
      />
      {emitters.map((name) => (
        <Pull
          key={name}
          label={`${nameOfAttribute(name)} matches the others at`}
          value={trim[name] ?? 1}
          onPull={(level, gesture) => put('trim', withTrim(trim, name, level), gesture)}
        />
      ))}
      <Typed
        label="How bright it is beside others of its kind"
        value={`${Math.round((now('strength') ?? 1) * 100)} %`}
        help="A share such as 50 % or 120 %, from 5 % to 2000 %."
        hint="Only for looks in which all are to be equally bright."
        onType={(text) => {
          const share = readStrength(text);
          if (share === undefined) return false;
          put('strength', share === 1 ? undefined : share, `strength-${light.id}`);
          return writeShare(share);
        }}
      />
      <PickOne
        label="How its light follows its dimmer"
        value={typeof now('dimming') === 'object' ? 'table' : ((now('dimming') as string | undefined) ?? '')}
        options={[
          { value: '', name: 'As its kind does' },
          { value: 'linear', name: 'Evenly (linear)' },
          { value: 'square', name: 'Slowly at first (square)' },
          { value: 's', name: 'Slowly at both ends (S)' },
          ...(typeof now('dimming') === 'object' ? [{ value: 'table', name: 'As it was measured' }] : []),
        ]}
        onPick={(value) => value !== 'table' && put('dimming', value === '' ? undefined : value)}
      />
    </details>
  );
}

function withTrim(trim: NonNullable<Light['trim']>, name: EmitterName, level: number): Light['trim'] {
  const { [name]: _, ...others } = trim;
  const next = level >= 1 ? others : { ...others, [name]: Math.max(LEAST_TRIM, level) };
  return Object.keys(next).length === 0 ? undefined : next;
}

interface WithinProps {
  readonly axis: Axis;
  readonly limits: Light['limits'];
  readonly onPut: (limits: Light['limits']) => void;
}

/** Angles that an axis is kept within, as where a wall or a ceiling is near. */
function Within({ axis, limits, onPut }: WithinProps) {
  const own = limits?.[axis];
  const most = axis === 'pan' ? 540 : 270;
  const { [axis]: _, ...others } = limits ?? {};
  return (
    <div class="bench-row">
      <Typed
        label={`Its ${axis} is kept within, in degrees`}
        value={own === undefined ? '' : `${own[0]} to ${own[1]}`}
        help={`Two angles from −${most} to ${most}, the smaller first, such as −90 to 45.`}
        hint={own === undefined ? 'No limit but its own.' : ''}
        onType={(text) => {
          const found = /^([-−]?\d{1,3}(?:[.,]\d+)?)\s*°?\s*(?:to|–|…|\.\.)\s*([-−]?\d{1,3}(?:[.,]\d+)?)\s*°?$/.exec(text.trim());
          const [low, high] = [found?.[1], found?.[2]].map((one) => Number(one?.replace('−', '-').replace(',', '.') ?? Number.NaN));
          if (low === undefined || high === undefined || !(low < high) || low < -most || high > most) return false;
          onPut({ ...others, [axis]: [low, high] });
          return true;
        }}
      />
      {own !== undefined && (
        <Push onClick={() => onPut(Object.keys(others).length === 0 ? undefined : others)}>No limit for {axis}</Push>
      )}
    </div>
  );
}
