const NS = 'http://www.w3.org/2000/svg';

/** One element of a drawing, as data: drawn into the page, or written into a file. */
export interface Mark {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (Mark | string)[];
}

export const mark = (
  tag: string,
  attributes: Readonly<Record<string, string | number>> = {},
  ...children: readonly (Mark | string)[]
): Mark => ({ tag, attributes, children });

export function toElement({ tag, attributes, children }: Mark): SVGElement {
  const element = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children.map((child) => (typeof child === 'string' ? child : toElement(child))));
  return element;
}

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;');

export function toText({ tag, attributes, children }: Mark): string {
  const head = Object.entries(attributes)
    .map(([name, value]) => ` ${name}="${escaped(String(value))}"`)
    .join('');
  if (children.length === 0) return `<${tag}${head}/>`;
  const inside = children
    .map((child) => (typeof child === 'string' ? escaped(child) : toText(child)))
    .join('');
  return `<${tag}${head}>${inside}</${tag}>`;
}

export const round = (value: number): number => Math.round(value * 100) / 100;

/** An element already drawn, as a mark again: for writing what stands on the page into a file. */
export function fromElement(element: Element): Mark {
  const attributes = Object.fromEntries([...element.attributes].map(({ name, value }) => [name, value]));
  const children = [...element.childNodes].map((node) =>
    node instanceof Element ? fromElement(node) : (node.textContent ?? ''),
  );
  return mark(element.tagName, attributes, ...children);
}
