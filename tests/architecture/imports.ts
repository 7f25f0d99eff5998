// The imports of the sources, as the tests of their rooms see them.
import { readdir, readFile } from 'node:fs/promises'
import { dirname, join, relative, resolve } from 'node:path'

export const SOURCES = resolve(import.meta.dirname, '../../src')

/** One import or re-export, type-only ones included; paths are relative to src. */
export interface Import {
  file: string
  target: string
}

/** All imports of the sources but of generated files. `target` is a path within src, or the name of a package. */
export async function readImports(): Promise<Import[]> {
  const found: Import[] = []
  for (const entry of await readdir(SOURCES, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name)
    const file = relative(SOURCES, path)
    if (!entry.isFile() || !file.endsWith('.ts') || /(^|\/)generated\//.test(file)) continue
    const text = await readFile(path, 'utf8')
    const statements = text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s[^'"]*?from\s*['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)|(?:^|\n)import\s*['"]([^'"]+)['"]/g,
    )
    for (const [, from, dynamic, bare] of statements) {
      const specifier = from ?? dynamic ?? bare ?? ''
      found.push({
        file,
        target: specifier.startsWith('.') ? relative(SOURCES, resolve(dirname(path), specifier)) : specifier,
      })
    }
  }
  return found
}

/** The files that a file imports, directly or not, itself included. */
export function reachableFrom(imports: readonly Import[], file: string): string[] {
  const targets = targetsOf(imports)
  const reached = new Set([file])
  for (const each of reached) for (const target of targets.get(each) ?? []) reached.add(target)
  return [...reached]
}

/** Groups of files that import each other in a circle, each from the first file at which it is met. */
export function circlesOf(imports: readonly Import[]): string[][] {
  const targets = targetsOf(imports)
  const circles: string[][] = []
  const done = new Set<string>()
  const visit = (file: string, path: string[]) => {
    const at = path.indexOf(file)
    if (at >= 0) circles.push([...path.slice(at), file])
    if (at >= 0 || done.has(file)) return
    for (const target of targets.get(file) ?? []) visit(target, [...path, file])
    done.add(file)
  }
  for (const file of targets.keys()) visit(file, [])
  return circles
}

function targetsOf(imports: readonly Import[]): Map<string, string[]> {
  const targets = new Map<string, string[]>()
  for (const { file, target } of imports) {
    const list = targets.get(file)
    if (list) list.push(target)
    else targets.set(file, [target])
  }
  return targets
}
