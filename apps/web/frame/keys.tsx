import { Suspense, useEffect, useRef, useState } from 'react';
import { laterPage } from '../later-page.tsx';
import { PartNotRead } from '../sections/not-read.tsx';

/** Not needed until it is asked for: read once the page is at rest, so that a server that is gone by then does not matter. */
const TABLE = laterPage(() => import('./key-table.tsx'), PartNotRead);

/** ms after which the first page has long been there. Our choice. */
const AT_REST = 3000;

const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLTextAreaElement ||
  target instanceof HTMLSelectElement ||
  (target instanceof HTMLInputElement && ['text', 'search', 'number'].includes(target.type));

/** The map of keys: a word in the head, or the question mark. */
export function Keys() {
  const dialog = useRef<HTMLDialogElement>(null);
  const [opened, setOpened] = useState(false);
  const open = () => {
    setOpened(true);
    dialog.current?.showModal();
  };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.key !== '?' || event.ctrlKey || event.metaKey || event.altKey || typing(event.target)) return;
      event.preventDefault();
      if (dialog.current?.open) dialog.current.close();
      else {
        setOpened(true);
        dialog.current?.showModal();
      }
    };
    addEventListener('keydown', onKey);
    const idle = setTimeout(() => void TABLE.ahead(), AT_REST);
    return () => {
      clearTimeout(idle);
      removeEventListener('keydown', onKey);
    };
  }, []);
  return (
    <>
      <button type="button" className="act keys-act" aria-haspopup="dialog" onClick={open}>
        Keys
      </button>
      <dialog ref={dialog} className="keys" aria-label="Keys">
        <div className="cap">
          <h2>Keys</h2>
          <button type="button" className="act" onClick={() => dialog.current?.close()}>
            Close
          </button>
        </div>
        {opened ? (
          <Suspense fallback={null}>
            <TABLE.Page />
          </Suspense>
        ) : null}
      </dialog>
    </>
  );
}
