export*from"../../lit-html/directives/keyed.js";
