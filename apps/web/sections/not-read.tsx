const why = (
  <p>
    The server does not answer. Start it again with <code>npm start</code> and open the address it prints;
    what was changed here is kept.
  </p>
);

/** Stands in the place of a page whose file could not be had. */
export const NotRead = () => (
  <main>
    <h1 className="ask">This page could not be read.</h1>
    {why}
  </main>
);

/** The same in the place of a part of a page. */
export const PartNotRead = () => (
  <section role="alert">
    <p className="strong">This part could not be read.</p>
    {why}
  </section>
);
