// How answers are compressed: what a client accepts (RFC 9110, 12.5.3), and what is worth its time.
import { promisify } from 'node:util'
import { brotliCompress, constants, gzip } from 'node:zlib'

export type Encoding = 'br' | 'gzip'

/** The encoding that the client likes best of ours; undefined where it accepts none of them. `accepted` is its Accept-Encoding. */
export function chosenEncoding(accepted: string | null): Encoding | undefined {
  const weights = new Map<string, number>()
  for (const part of (accepted ?? '').toLowerCase().split(',')) {
    const [name, ...parameters] = part.split(';').map((each) => each.trim())
    const weight = parameters.find((each) => each.startsWith('q='))
    if (name) weights.set(name, weight === undefined ? 1 : Number(weight.slice(2)) || 0)
  }
  const weightOf = (name: Encoding) => weights.get(name) ?? weights.get('*') ?? 0
  if (weightOf('br') > 0 && weightOf('br') >= weightOf('gzip')) return 'br'
  return weightOf('gzip') > 0 ? 'gzip' : undefined
}

/** The bytes compressed, on a thread of the pool. `quality` is 1 (quick) to 9 (small). */
export function compressed(bytes: Uint8Array, encoding: Encoding, quality: number): Promise<Buffer> {
  if (encoding === 'gzip') return promisify(gzip)(bytes, { level: quality })
  const params = { [constants.BROTLI_PARAM_QUALITY]: quality, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length }
  return promisify(brotliCompress)(bytes, { params })
}
