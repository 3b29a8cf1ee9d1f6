// What of lit-html the page uses, for checking its types.
export declare const html: (strings: TemplateStringsArray, ...values: unknown[]) => unknown;
export declare const svg: (strings: TemplateStringsArray, ...values: unknown[]) => unknown;
export declare const nothing: unique symbol;
export declare function render(value: unknown, container: HTMLElement | DocumentFragment | SVGElement, options?: { renderBefore?: ChildNode | null }): unknown;
