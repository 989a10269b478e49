/** A number as it stands in a cell. Where a longer or shorter one takes its place it is another text: one that begins elsewhere would have moved. */
export const NumberText = ({ text }: { readonly text: string }) => <span key={text.length}>{text}</span>;
