import { writeText } from '../hairline.ts';

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

/**
 * Draws marks in the place of those that stand in `parent`: where the tag is the same the element stays, and only what differs is written,
 * so that only that is laid out and painted.
 */
export function redraw(parent: Element, marks: readonly Mark[]): void {
  marks.forEach((next, k) => {
    const there = parent.children[k];
    if (there?.tagName !== next.tag) {
      const made = toElement(next);
      if (there === undefined) parent.append(made);
      else there.replaceWith(made);
      return;
    }
    for (const name of there.getAttributeNames())
      if (!Object.hasOwn(next.attributes, name)) there.removeAttribute(name);
    for (const [name, value] of Object.entries(next.attributes))
      if (there.getAttribute(name) !== String(value)) there.setAttribute(name, String(value));
    const inside = next.children.filter((child) => typeof child !== 'string');
    if (inside.length === 0) writeText(there, next.children.join(''));
    else if (inside.length === next.children.length && there.childNodes.length === there.children.length)
      redraw(there, inside);
    else there.replaceWith(toElement(next));
  });
  while (parent.children.length > marks.length) parent.lastElementChild?.remove();
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
