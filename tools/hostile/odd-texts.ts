// Texts that programs stumble over: of the wrong length, of characters that mean something to someone, or of none at all.
import type { Random } from '../../seeds/random.ts'

const ODD = [
  '',
  ' ',
  '\u0000',
  'a\u0000b',
  '\ud800',
  '\udfff\ud800',
  '\ufeff',
  '\u202e\u2066abc',
  '👩‍👩‍👧‍👦🏴󠁧󠁢󠁥󠁮󠁧󠁿',
  'Z͑ͫ̓ͪ̂ͫ̽͏̴̙̤̞͉͚̯̞̠͍A̴̵̜̰͔ͫ͗͢L̠ͨͧͩ͘G̴̻͈͍͔̹̑͗̎̅͛́Ǫ̵̹̻̝̳͂̌̌͘!',
  '𝕏𝕐ℤ',
  'İıſß',
  '\'; DROP TABLE "Order"; --',
  '$1 %s %n {{7*7}} #{7*7}',
  '../../../../etc/passwd',
  '<script>alert(1)</script>',
  '__proto__',
  'constructor',
  '\r\nset-cookie: a=b',
  '=1+1',
  '"""',
  '\\',
  '\u2028\u2029',
  'NaN',
  'null',
  '[object Object]',
]

/** An odd text; one in ten is long. */
export function oddText(random: Random): string {
  const text = random.pick(ODD)
  return random.chance(0.1) ? text.padEnd(random.pick([201, 4096, 60_000, 300_000]), text || 'é') : text
}

/** A name that GraphQL allows. */
export function oddName(random: Random): string {
  return random.pick(['__proto__', 'constructor', 'toString', 'a'.repeat(5000), '_', '__typename', 'hasOwnProperty'])
}
