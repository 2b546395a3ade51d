import type { ShowSummary } from '../../../node/api/contract.ts';
import { counted } from '../../../node/core/words.ts';
import { as } from '../parts/spoken.tsx';

/** What kinds of lamps there are, and what is known of each besides its channels. */
export const Types = ({ show }: { readonly show: ShowSummary }) => (
  <>
    {show.types.map(({ name, count, facts }) => (
      <table {...as.table} class="papers-types" key={name}>
        <caption>
          {name}: {counted(count, 'light')}
        </caption>
        <tbody {...as.rowgroup}>
          {facts.map(({ what, value }) => (
            <tr {...as.row} key={what}>
              <th scope="row" {...as.rowheader}>
                {what}
              </th>
              <td {...as.cell}>{value}</td>
            </tr>
          ))}
        </tbody>
      </table>
    ))}
    <p class="papers-how">
      As the file of a type says, or as is usual of its kind: common practice, no source. What a lamp draws and weighs, its label
      and its manual say.
    </p>
  </>
);
