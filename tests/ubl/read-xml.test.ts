// XML that reaches beyond itself or grows is refused; everything else is read as an independent parser reads it.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { MOST_ELEMENTS, MOST_LEVELS, pathOf, readXml, XmlFault } from '../../src/ubl/read-xml.ts'
import { asXml, element } from '../../src/ubl/write-xml.ts'
import { parsed } from './validate.ts'

const read = (text: string) => readXml(new TextEncoder().encode(text))

test.each([
  ['a DOCTYPE', '<!DOCTYPE a><a/>', 'DOCTYPE'],
  ['entities that name files', '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><a>&x;</a>', 'DOCTYPE'],
  ['entities that grow', '<!DOCTYPE a [<!ENTITY x "yyyyyyyy"><!ENTITY z "&x;&x;&x;">]><a>&z;</a>', 'DOCTYPE'],
  ['an entity that is none of the five', '<a>&nbsp;</a>', 'not well-formed'],
  ['what ends too early', '<a><b></b>', 'not well-formed'],
  ['tags that cross', '<a><b></a></b>', 'not well-formed'],
  ['a prefix without a namespace', '<a><x:b/></a>', 'not well-formed'],
  ['two roots', '<a/><b/>', 'not well-formed'],
  ['no element', '   ', 'not well-formed'],
  ['a character that XML does not have', '<a>\u0001</a>', 'not well-formed'],
  ['another encoding', '<?xml version="1.0" encoding="ISO-8859-1"?><a/>', 'ISO-8859-1'],
  ['too many levels', `${'<a>'.repeat(MOST_LEVELS + 1)}${'</a>'.repeat(MOST_LEVELS + 1)}`, 'levels'],
  ['too many elements', `<a>${'<b/>'.repeat(MOST_ELEMENTS)}</a>`, 'more than 50,000 elements'],
])('a document with %s is refused', (_, text, words) => {
  expect(() => read(text)).toThrow(XmlFault)
  expect(() => read(text)).toThrow(words)
})

test('bytes that are no UTF-8 are refused', () => {
  expect(() => readXml(new Uint8Array([0x3c, 0x61, 0x3e, 0xff, 0x3c, 0x2f, 0x61, 0x3e]))).toThrow('not in UTF-8')
})

test('what comments and instructions say is read over, and the five entities, characters by number and CDATA are text', () => {
  const { text } = read(
    '\uFEFF<?xml version="1.0"?><?do this?><a>&lt;&amp;&gt;&quot;&apos;&#65;<!-- no --><![CDATA[<b>&]]></a>',
  )
  expect(text).toBe('<&>"\'A<b>&')
})

test('an element is known by the URI of its namespace, whatever its prefix', () => {
  const of = (text: string) => {
    const { namespace, name } = read(text)
    return [namespace, name]
  }
  expect(of('<a xmlns="urn:x"/>')).toEqual(['urn:x', 'a'])
  expect(of('<p:a xmlns:p="urn:x"/>')).toEqual(['urn:x', 'a'])
})

test('a path says which of several elements it is', () => {
  const root = read('<a><b/><b><c/></b></a>')
  const inner = root.children[1]?.children[0]
  expect(inner && pathOf(inner)).toBe('{}a/{}b[2]/{}c')
})

test('any text that is written is read back the same, by ours and by an independent parser', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      const xml = asXml(element('a', [element('b', text, { c: text })]))
      const other = parsed(xml).getElementsByTagName('b')[0]
      const ours = read(xml).children[0]
      // What XML 1.0 has no way to write is replaced.
      const kept = text.replaceAll(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '\uFFFD')
      expect(other?.textContent).toBe(kept)
      expect(ours?.text).toBe(kept.trim())
      expect(ours?.attributes.get('c')).toBe(kept)
    }),
  )
})
