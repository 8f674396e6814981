global using Stencilwright.Design.Rules;
