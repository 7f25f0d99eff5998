// npm run typecheck, second half: the compiler once more with `noUncheckedIndexedAccess`, under which an element of a list
// may be undefined. Rooms whose integers index arrays of the compiled problem by construction are exempt.
import { spawnSync } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

/** Rooms where an index is an id that was made once, at the door: a check at each access would cost time and say nothing. */
const EXEMPT = /^src\/planner\/(model|insertion|search|opening)\//

const compiler = join(dirname(createRequire(import.meta.url).resolve('typescript/package.json')), 'bin/tsc')
const { stdout, stderr } = spawnSync(
  process.execPath,
  [compiler, '--noEmit', '--noUncheckedIndexedAccess', '--pretty', 'false'],
  {
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  },
)
// A diagnostic begins at the margin with its file; what follows indented belongs to it.
const blocks = stdout.split(/\n(?=\S)/).filter((block) => block.trim() !== '')
const faults = blocks.filter((block) => !EXEMPT.test(block))
if (faults.length > 0 || stderr.trim() !== '') {
  console.error([...faults, stderr].join('\n'))
  process.exitCode = 1
}
