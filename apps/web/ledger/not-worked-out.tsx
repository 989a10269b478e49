import { useContext } from 'react';
import { NotWorkedContext } from './not-worked.ts';

/** Stands where margins stand that do not come; `walked`: walks judge lines here too. */
export function NotWorkedOut({ walked = false }: { readonly walked?: boolean }) {
  const { margins, walks } = useContext(NotWorkedContext);
  return (
    <div role="alert">
      <Said what="Margins are not worked out" again={margins} />
      {walked ? <Said what="What walks judge is not walked" again={walks} /> : null}
    </div>
  );
}

function Said({ what, again }: { readonly what: string; readonly again: (() => void) | undefined }) {
  if (again === undefined) return null;
  return (
    <p className="not-worked">
      <b>{what}:</b> the script that does it could not be read or run, as when the server is gone.{' '}
      <button type="button" className="act" onClick={again}>
        Try again
      </button>
    </p>
  );
}
