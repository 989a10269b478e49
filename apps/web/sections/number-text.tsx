/** A number that another takes the place of. A longer or shorter one is another text: one that begins elsewhere would have moved. */
export const NumberText = ({ text }: { readonly text: string }) => <span key={text.length}>{text}</span>;
