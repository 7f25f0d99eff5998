// A page as HTML that a browser prints, in black and white, on A4 and on Letter.
import type { Page, Section, Table } from './page.ts'

/**
 * No size of paper is set, so that the printer's own is used; a page of Letter has room for about 60 lines. The fonts are as narrow
 * as Arial, or nearly: a wider one, which a system may have for lack of these, takes a second page.
 */
const STYLE = `
@page { margin: 6mm 7mm }
* { box-sizing: border-box }
body { font: 11pt/1.07 Arial, 'Liberation Sans', Helvetica, 'DejaVu Sans Condensed', sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 196mm }
@media screen { body { padding: 7mm 0 } }
h1 { font-size: 13pt; margin: 0 3mm 0 0; display: inline }
header p:first-of-type { display: inline }
h2 { font-size: 11pt; margin: 1mm 0 0.2mm; border-bottom: 0.3mm solid #000; break-after: avoid }
p { margin: 0 }
header { margin-bottom: 1mm }
table { border-collapse: collapse; width: 100% }
thead { display: table-header-group }
tr { break-inside: avoid }
th, td { text-align: left; vertical-align: top; padding: 0.1mm 1.6mm 0.1mm 0; border-bottom: 0.1mm solid #999 }
th { border-bottom: 0.3mm solid #000 }
.right { text-align: right }
.wide { width: 100% }
td.right, td.whole { white-space: nowrap }
ol { list-style: none; margin: 0; padding: 0 }
li { padding-left: 5mm; text-indent: -5mm; break-inside: avoid }
li::before { content: "\\2610"; display: inline-block; width: 5mm; text-indent: 0 }
ol.columns { columns: 2; column-gap: 4mm }
div.columns { display: flex; gap: 4mm; align-items: flex-start }
div.columns table { width: calc(50% - 2mm) }
footer p:first-of-type { display: inline }
footer { margin-top: 1.2mm; border: 0.3mm solid #000; padding: 0.4mm 1.2mm; break-inside: avoid }
`.trim()

/** The whole document. All text is escaped. */
export function pageAsHtml({ title, subtitle, sections, cautions }: Page): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${escaped(title)}</title>
<style>
${STYLE}
</style>
</head>
<body>
<header>
<h1>${escaped(title)}</h1>
${paragraphs(subtitle)}
</header>
${sections.map(sectionAsHtml).join('')}
${cautions.length > 0 ? `<footer>\n<b>Caution</b>\n${paragraphs(cautions)}\n</footer>` : ''}
</body>
</html>
`
}

function sectionAsHtml({ heading, notes = [], table, steps = [], inColumns = false }: Section): string {
  return [
    '<section>',
    ...(heading === undefined ? [] : [`<h2>${escaped(heading)}</h2>`]),
    ...(notes.length > 0 ? [paragraphs(notes)] : []),
    ...(table ? [inColumns ? inTwoHalves(table) : tableAsHtml(table)] : []),
    ...(steps.length > 0
      ? [
          `<ol${classOf(inColumns ? 'columns' : undefined)}>${steps.map((step) => `<li>${escaped(step)}</li>`).join('\n')}</ol>`,
        ]
      : []),
    '</section>',
  ].join('\n')
}

/** Two tables beside one another: no browser has to break one into columns. */
function inTwoHalves({ columns, rows }: Table): string {
  const half = Math.ceil(rows.length / 2)
  const halves = [rows.slice(0, half), rows.slice(half)]
  return `<div class="columns">${halves.map((own) => tableAsHtml({ columns, rows: own })).join('\n')}</div>`
}

function tableAsHtml({ columns, rows }: Table): string {
  const cells = (tag: 'th' | 'td', texts: readonly string[]) =>
    columns
      .map(
        ({ align, isWhole, isWide }, at) =>
          `<${tag}${classOf(align ?? (isWhole ? 'whole' : isWide ? 'wide' : undefined))}>${escaped(texts[at] ?? '')}</${tag}>`,
      )
      .join('')
  return `<table>
<thead><tr>${cells(
    'th',
    columns.map(({ title }) => title),
  )}</tr></thead>
<tbody>
${rows.map((row) => `<tr>${cells('td', row)}</tr>`).join('\n')}
</tbody>
</table>`
}

const classOf = (name: string | undefined) => (name === undefined ? '' : ` class="${name}"`)

function paragraphs(lines: readonly string[]): string {
  return lines.map((line) => `<p>${escaped(line)}</p>`).join('\n')
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

function escaped(text: string): string {
  return text.replaceAll(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign)
}
