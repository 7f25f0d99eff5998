// Pages as text and as HTML: lines that fit a terminal, text that stays text, columns that line up.
import { expect, test } from 'vitest'
import { pageAsHtml } from '../../src/print/html.ts'
import type { Page } from '../../src/print/page.ts'
import { pageAsText } from '../../src/print/text.ts'

const LONG =
  'Keep a slight top pressure of CO₂ on the vessel while it is drawn, and watch the gauge all of the time. '.repeat(3)
const page = (name: string): Page => ({
  title: `Load sheet: ${name}`,
  subtitle: ['Somewhere'],
  sections: [
    {
      heading: name,
      notes: [LONG.trim()],
      table: {
        columns: [{ title: 'Drop' }, { title: 'kg', align: 'right' }],
        rows: [
          [name, '7'],
          ['The Unpicked Hem', '101'],
        ],
      },
      steps: [LONG.trim(), name],
    },
  ],
  cautions: [LONG.trim()],
})

test('no line of sentences is longer than a terminal of 100 columns, and no word is lost', () => {
  const text = pageAsText(page('Town'))
  expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100)
  expect(text.match(/gauge/g)).toHaveLength(9)
  expect(text).toContain('[ ] Town')
})

test('figures stand right in their column', () => {
  const [head = '', first = '', second = ''] = pageAsText(page('Town'))
    .split('\n')
    .filter((line) => /kg$|7$|101$/.test(line))
  expect([head.length, first.length, second.length]).toEqual([second.length, second.length, second.length])
})

test('whatever an account is called is text in HTML, and never markup', () => {
  const html = pageAsHtml(page(`<script>alert("x")</script> & 'Sons'`))
  expect(html).not.toContain('<script')
  expect(html).toContain('&lt;script&gt;alert(&quot;x&quot;)&lt;/script&gt; &amp; &#39;Sons&#39;')
})

test('a page has no colours but black on white, and sets no size of paper', () => {
  const html = pageAsHtml(page('Town'))
  const colours = [...html.matchAll(/#[0-9a-f]{3,6}(?=[;} ])/g)].map(([colour]) => colour)
  expect(new Set(colours)).toEqual(new Set(['#000', '#fff', '#999']))
  expect(html).toMatch(/@page \{ margin: [^}]*\}/)
  expect(html).not.toMatch(/@page \{[^}]*size/)
})
