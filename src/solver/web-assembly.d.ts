// What is used of WebAssembly: Node has it, and its types come with those of browsers alone, which are not wanted here.
declare namespace WebAssembly {
  /** Compiled code. Threads that share it share what it was compiled to. */
  type Module = object & { readonly __module: unique symbol }
  function compile(bytes: Uint8Array): Promise<Module>
}
