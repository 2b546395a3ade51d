import type { FunctionComponent } from 'preact';
import type { Show } from '../../../node/show/document.ts';

export interface PageProps {
  readonly show: Show;
  /** The id of the thing that is open. */
  readonly open: string | undefined;
}

export interface Page {
  readonly name: string;
  /** What there is of it, in few words. */
  readonly holds: (show: Show) => string;
  readonly Page: FunctionComponent<PageProps>;
}
