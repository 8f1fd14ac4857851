// The little of Node that tests use; the page itself never does.

declare module 'node:test' {
  export function test(name: string, f: () => void | Promise<void>): void;
}

declare module 'node:assert/strict' {
  const assert: {
    equal(got: unknown, want: unknown, message?: string): void;
    deepEqual(got: unknown, want: unknown, message?: string): void;
    ok(got: unknown, message?: string): void;
  };
  export default assert;
}
