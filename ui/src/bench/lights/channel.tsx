import type { AttributeName } from '../../../../node/core/attributes.ts';
import type { Channel, ChannelFunction, FixtureType } from '../../../../node/rig/fixture-type.ts';
import { Push } from '../../parts/push.tsx';
import { as } from '../../parts/spoken.tsx';
import { Typed } from '../typed.tsx';
import { attributeOptions, nameOfAttribute } from './attributes.ts';
import { Mark, PickOne, wholeNumber } from './fields.tsx';
import { Meaning } from './meaning.tsx';
import { TestPull } from './test-lamp.tsx';
import { byteOf, fullOf, highOf, jobOf, lowOf, type Mistake } from './type-form.ts';

interface ChannelProps {
  readonly type: FixtureType;
  readonly channel: Channel;
  readonly mistakes: readonly Mistake[];
  /** Another channel in its place. @returns whether it could be kept */
  readonly onChange: (channel: Channel, wheels?: FixtureType['wheels']) => boolean;
  readonly onFine: (on: boolean) => void;
  readonly onInsert: () => void;
  readonly onTakeOut: (() => void) | undefined;
}

/** One channel of a table, open to be changed. */
export function ChannelForm({ type, channel, mistakes, onChange, onFine, onInsert, onTakeOut }: ChannelProps) {
  const { slot, fine, functions, default: standing } = channel;
  const [first] = functions;
  const put = (jobs: readonly ChannelFunction[], wheels?: FixtureType['wheels']): boolean =>
    onChange({ ...channel, functions: [...jobs] }, wheels);
  const amiss = (field: Mistake['field'], job?: number): string | undefined =>
    mistakes.find((one) => one.field === field && one.job === job)?.message;
  const name = nameOfAttribute(first?.attribute ?? 'NoFeature');
  const addJob = (): void => {
    const last = Math.max(-1, ...functions.map(({ to }) => byteOf(channel, to)));
    // One that had the whole channel makes room for the second.
    const jobs =
      last < 255
        ? functions
        : functions.map((job, i) =>
            i === functions.length - 1 ? { ...job, to: highOf(channel, Math.max(byteOf(channel, job.from), 127)) } : job,
          );
    const from = Math.min(255, Math.max(...jobs.map(({ to }) => byteOf(channel, to))) + 1);
    put([...jobs, jobOf('NoFeature', lowOf(channel, from), highOf(channel, 255))]);
  };
  return (
    <div class="lights-channel">
      {amiss('slot') !== undefined && <p class="lights-amiss">{amiss('slot')}</p>}
      <ol {...as.list} class="lights-jobs">
        {functions.map((job, i) => (
          <li key={i}>
            <Job
              type={type}
              channel={channel}
              job={job}
              isOnly={functions.length === 1}
              label={functions.length === 1 ? 'What it does' : `What it does, ${i + 1}`}
              from={amiss('from', i)}
              to={amiss('to', i)}
              onChange={(next, wheels) =>
                put(
                  functions.map((one, k) => (k === i ? next : one)),
                  wheels,
                )
              }
              onTakeOut={() => {
                const left = functions.filter((_, k) => k !== i);
                put(left.length === 1 ? left.map((one) => ({ ...one, from: 0, to: fullOf(channel) })) : left);
              }}
            />
          </li>
        ))}
      </ol>
      <Push onClick={addJob}>It does something else as well</Push>
      <div class="lights-form">
        <Mark
          label="16 bit"
          hint={fine === undefined ? 'its finer part is the next channel' : `its finer part is channel ${fine}`}
          value={fine !== undefined}
          onMark={onFine}
        />
        <Typed
          label="Stands at, when nothing is asked of it"
          value={standing === undefined ? '' : String(byteOf(channel, standing))}
          numeric
          help="A number from 0 to 255, or nothing."
          amiss={amiss('default')}
          hint={standing === undefined ? 'Where its first job says.' : ''}
          onType={(text) => {
            if (text.trim() === '') {
              const { default: _, ...rest } = channel;
              return onChange(rest);
            }
            const value = wholeNumber(text, 0, 255);
            return value !== undefined && onChange({ ...channel, default: fine === undefined ? value : value * 257 });
          }}
        />
      </div>
      <TestPull name={name} slot={slot} fine={fine} />
      <div class="bench-row">
        <Push onClick={onInsert}>Put one in before it</Push>
        {onTakeOut !== undefined && (
          <Push label={`Take out channel ${slot}`} onClick={onTakeOut}>
            Take it out
          </Push>
        )}
      </div>
    </div>
  );
}

interface JobProps {
  readonly type: FixtureType;
  readonly channel: Channel;
  readonly job: ChannelFunction;
  readonly isOnly: boolean;
  readonly label: string;
  /** What is amiss with where it begins and ends. */
  readonly from: string | undefined;
  readonly to: string | undefined;
  readonly onChange: (job: ChannelFunction, wheels?: FixtureType['wheels']) => boolean;
  readonly onTakeOut: () => void;
}

function Job({ type, channel, job, isOnly, label, from, to, onChange, onTakeOut }: JobProps) {
  const end = (field: 'from' | 'to', text: string): boolean => {
    const byte = wholeNumber(text, 0, 255);
    return byte !== undefined && onChange({ ...job, [field]: (field === 'from' ? lowOf : highOf)(channel, byte) });
  };
  return (
    <>
      <div class="lights-pair">
        <PickOne
          label={label}
          value={job.attribute}
          options={attributeOptions}
          onPick={(name) => onChange(jobOf(name as AttributeName, job.from, job.to))}
        />
        {!isOnly && (
          <>
            <Typed
              label="From"
              numeric
              value={String(byteOf(channel, job.from))}
              help="A number from 0 to 255."
              amiss={from}
              onType={(text) => end('from', text)}
            />
            <Typed
              label="To"
              numeric
              value={String(byteOf(channel, job.to))}
              help="A number from 0 to 255."
              amiss={to}
              onType={(text) => end('to', text)}
            />
            <Push label={`Take out ${nameOfAttribute(job.attribute)} of channel ${channel.slot}`} onClick={onTakeOut}>
              Take out
            </Push>
          </>
        )}
      </div>
      <Meaning type={type} channel={channel} job={job} onChange={onChange} />
    </>
  );
}
