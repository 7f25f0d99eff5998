// XML as it is sent: elements with their text, indented by two spaces, with an end of line after each.

/** An element to be written: its name with prefix, attributes, and either text or elements; those that are undefined are left out. */
export interface Written {
  name: string
  attributes?: Readonly<Record<string, string>>
  content: string | readonly (Written | undefined)[]
}

/** An element, in the order in which the standard wants its parts. */
export function element(name: string, content: Written['content'], attributes?: Written['attributes']): Written {
  return { name, content, ...(attributes ? { attributes } : {}) }
}

/** The document of a root. */
export function asXml(root: Written): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${lines(root, '').join('\n')}\n`
}

function lines({ name, attributes = {}, content }: Written, indent: string): string[] {
  const inTag = Object.entries(attributes).map(([key, value]) => ` ${key}="${escaped(value)}"`)
  const begin = `${indent}<${name}${inTag.join('')}>`
  if (typeof content === 'string') return [`${begin}${escaped(content)}</${name}>`]
  const inner = content.flatMap((each) => (each ? lines(each, `${indent}  `) : []))
  return [begin, ...inner, `${indent}</${name}>`]
}

/** What stands for itself in text and in attributes; characters that XML 1.0 has no way to write become U+FFFD. */
function escaped(text: string): string {
  return (
    text
      .replaceAll(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '\uFFFD')
      .replaceAll('&', '&amp;')
      .replaceAll('<', '&lt;')
      .replaceAll('>', '&gt;')
      .replaceAll('"', '&quot;')
      // Parsers make line feeds of what XML 1.0 or 1.1 takes for an end of line, some of U+2029 too, and spaces of those in attributes.
      .replaceAll(/[\t\n\r\u0085\u2028\u2029]/g, (sign) => `&#${sign.charCodeAt(0)};`)
  )
}
