// Judges a document by the structure of the standard, with a parser that is not ours.
import { DOMParser, type Element, type Node } from '@xmldom/xmldom'
import { partsOf } from './structure.ts'

const OF_UBL = 'urn:oasis:names:specification:ubl:schema:xsd:'
const PREFIXES: Readonly<Record<string, string>> = {
  [`${OF_UBL}CommonAggregateComponents-2`]: 'cac:',
  [`${OF_UBL}CommonBasicComponents-2`]: 'cbc:',
}

/** The root of a document. Throws where it is not well-formed. */
export function parsed(xml: string): Element {
  const onError = (level: string, message: string) => {
    // It warns of U+FFFD, which stands for what XML has no way to write.
    if (level !== 'warning') throw new Error(`${level}: ${message}`)
  }
  const root = new DOMParser({ onError }).parseFromString(xml, 'text/xml').documentElement
  if (!root) throw new Error('the document has no element')
  return root
}

/** What is not as the standard has it; nothing where the document is valid as far as it is written down. */
export function faultsOf(xml: string): string[] {
  const root = parsed(xml)
  const expected = root.localName && `${OF_UBL}${root.localName}-2`
  return [
    ...(root.namespaceURI === expected ? [] : [`the root is in ${root.namespaceURI}`]),
    ...faultsIn(root, root.localName ?? ''),
  ]
}

/** The elements directly within another. */
export function childrenOf(element: Element): Element[] {
  const isElement = (node: Node): node is Element => node.nodeType === node.ELEMENT_NODE
  return [...element.childNodes].filter(isElement)
}

/** All texts of elements of a name, with its prefix, anywhere. */
export function textsOf(root: Element, name: string): string[] {
  return childrenOf(root).flatMap((child) =>
    nameOf(child) === name ? [child.textContent ?? ''] : textsOf(child, name),
  )
}

function nameOf(element: Element): string {
  return `${PREFIXES[element.namespaceURI ?? ''] ?? '?:'}${element.localName}`
}

function faultsIn(element: Element, path: string): string[] {
  const parts = partsOf(element.localName ?? '')
  if (!parts) return [`${path}: nothing is written down of it`]
  const children = childrenOf(element)
  const names = children.map(nameOf)
  const places = names.map((name) => parts.findIndex((part) => part.name === name))
  return [
    ...names.filter((_, index) => places[index] === -1).map((name) => `${path}: has no ${name}`),
    ...(places.every((place, index) => index === 0 || place >= (places[index - 1] ?? 0))
      ? []
      : [`${path}: the order is ${names.join(' ')}`]),
    ...parts.flatMap(({ name, least, most }) => {
      const count = names.filter((each) => each === name).length
      return count < least || count > most ? [`${path}: ${count} of ${name}`] : []
    }),
    ...children.flatMap((child) => {
      const at = `${path}/${nameOf(child)}`
      return nameOf(child).startsWith('cac:') ? faultsIn(child, at) : valueFaults(child, at)
    }),
  ]
}

/** Values by the kind that their names end with (UBL-CommonBasicComponents, UBL-UnqualifiedDataTypes): dates, decimals and so on. */
function valueFaults(element: Element, path: string): string[] {
  const text = element.textContent ?? ''
  const name = element.localName ?? ''
  const shape = name.endsWith('Date')
    ? /^\d{4}-\d\d-\d\d(Z|[+-]\d\d:\d\d)?$/
    : /(Quantity|Numeric)$/.test(name)
      ? /^[+-]?\d+(\.\d+)?$/
      : /Indicator$/.test(name)
        ? /^(true|false)$/
        : /\S/
  return childrenOf(element).length === 0 && shape.test(text) ? [] : [`${path}: "${text}"`]
}
