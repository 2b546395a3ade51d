import { counted } from '../../../../node/core/words.ts';
import { channelFacts } from '../../../../node/rig/channel-facts.ts';
import { type FixtureType, footprint } from '../../../../node/rig/fixture-type.ts';

/** What every slot of a kind of lamp does, mode by mode, to be held beside its manual. */
export const Channels = ({ type }: { readonly type: FixtureType }) => (
  <>
    <h2>Its channels</h2>
    {type.modes.map((mode) => (
      <details key={mode.id} class="lights-channels" open={type.modes.length === 1}>
        <summary>
          {mode.name}: {counted(footprint(mode), 'slot')}
        </summary>
        <table>
          <thead>
            <tr>
              <th scope="col">Slot</th>
              <th scope="col">What it does</th>
              <th scope="col">Values</th>
            </tr>
          </thead>
          <tbody>
            {channelFacts(mode, type).map(({ slots, what, values }) => (
              <tr key={`${slots} ${what}`}>
                <td>{slots}</td>
                <td>{what}</td>
                <td>
                  {values.map((one) => (
                    <div key={one}>{one}</div>
                  ))}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    ))}
  </>
);
