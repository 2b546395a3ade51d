import { Text, Tick } from './inputs.tsx';
import { readSeconds } from './written.ts';

export const TIME_HELP = 'A time such as 2, 2.5 s or 1 min.';

interface TimesProps {
  readonly field: { readonly kind: 'look' | 'chase' | 'movement'; readonly id: string };
  readonly thing: { readonly fadeOut?: number | undefined; readonly stay: boolean; readonly unattended: boolean };
}

/** How a thing goes, and what it does while nobody is there. */
export const Times = ({ field, thing }: TimesProps) => (
  <>
    <div class="bench-row">
      <Text
        {...field}
        field="fadeOut"
        label="Goes over"
        value={thing.fadeOut === undefined ? '' : `${thing.fadeOut} s`}
        read={readSeconds}
        help={TIME_HELP}
        isOptional
        hint="Empty: as it comes in."
      />
    </div>
    <div class="choices">
      <Tick
        {...field}
        field="unattended"
        label="Goes on with no phone there"
        hint="else it needs somebody"
        value={thing.unattended}
      />
      <Tick
        {...field}
        field="stay"
        label="Stays underneath"
        hint="what the room falls back to when what covers it goes"
        value={thing.stay}
      />
    </div>
  </>
);
