import { createElement, Fragment } from 'react';

/** A sentence as the engine says it: what stands between back-ticks is a name to type. */
export const Prose = ({ text }: { readonly text: string }) =>
  createElement(
    Fragment,
    null,
    ...text.split('`').map((part, k) => (k % 2 === 1 ? createElement('code', null, part) : part)),
  );
