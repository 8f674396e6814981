using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;

namespace Stencilwright.App.Web.Safety;

/// <summary>The page that asks for the password, or for a first one: plain HTML, so that it needs no socket.</summary>
internal static class PasswordPages
{
    public static void Map(WebApplication app)
    {
        app.MapGet("/password", (HttpContext context, PasswordGate gate, IAntiforgery forgery, Words words) =>
            gate.IsWanted ? Page(context, gate, forgery, words, "") : Results.Redirect("/"));
        // Its token is looked at below: one from before the program was started anew is answered by a page, not by nothing.
        app.MapPost("/password", EnterAsync).DisableAntiforgery();
        app.MapPost("/leave", ([FromForm] string? _, HttpContext context, PasswordGate gate) =>
        {
            gate.Leave(context.Request.Cookies[PasswordGate.CookieName]);
            context.Response.Cookies.Delete(PasswordGate.CookieName);
            return Results.Redirect("/password");
        });
    }

    private static async Task<IResult> EnterAsync([FromForm] string? password, [FromForm] string? again, [FromForm] string? code, HttpContext context, PasswordGate gate, IAntiforgery forgery, Words words)
    {
        password ??= "";
        if (!await forgery.IsRequestValidAsync(context))
        {
            return Page(context, gate, forgery, words, words["password.stale"]);
        }

        if (gate.IsCrowded)
        {
            return Page(context, gate, forgery, words, words["password.crowded"], StatusCodes.Status429TooManyRequests);
        }

        var gone = context.RequestAborted;
        if (!gate.IsSet && !await gate.IsFirstCodeAsync(code ?? "", gone))
        {
            return Page(context, gate, forgery, words, words["password.wrongCode"]);
        }

        if (!gate.IsSet && (password != again || !gate.TrySet(password)))
        {
            return Page(context, gate, forgery, words, password != again ? words["password.differ"] : words.Format("password.short", PasswordGate.ShortestPassword));
        }

        if (await gate.EnterAsync(password, gone) is not { } token)
        {
            return Page(context, gate, forgery, words, words["password.wrong"]);
        }

        // Whoever enters again begins anew: a token that somebody else may have seen is worth nothing then.
        gate.Leave(context.Request.Cookies[PasswordGate.CookieName]);
        context.Response.Cookies.Append(PasswordGate.CookieName, token, new CookieOptions
        {
            HttpOnly = true,
            SameSite = SameSiteMode.Strict,
            Secure = context.Request.IsHttps,
            Path = "/",
        });
        return Results.Redirect("/");
    }

    private static ContentHttpResult Page(HttpContext context, PasswordGate gate, IAntiforgery forgery, Words words, string wrong, int status = StatusCodes.Status400BadRequest)
    {
        var token = forgery.GetAndStoreTokens(context);
        var html = HtmlEncoder.Default;
        var isFirst = !gate.IsSet;
        var second = isFirst
            ? $"""<label>{html.Encode(words["password.code"])}<input name="code" autocomplete="off" required></label><label>{html.Encode(words["password.again"])}<input type="password" name="again" autocomplete="new-password" required></label>"""
            : "";
        var body = $"""
            <!DOCTYPE html>
            <html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
            <title>{html.Encode(words["password.title"])}</title><link rel="stylesheet" href="/workshop.css"></head>
            <body><main class="gate"><h1>{html.Encode(words["password.title"])}</h1>
            <p>{html.Encode(words[isFirst ? "password.first" : "password.ask"])}</p>
            <form method="post" action="/password"><input type="hidden" name="{html.Encode(token.FormFieldName)}" value="{html.Encode(token.RequestToken ?? "")}">
            <label>{html.Encode(words["password.label"])}<input type="password" name="password" autocomplete="{(isFirst ? "new-password" : "current-password")}" required autofocus></label>
            {second}<p class="wrong" role="alert">{html.Encode(wrong)}</p>
            <button class="strong">{html.Encode(words[isFirst ? "password.set" : "password.enter"])}</button></form>
            <p class="quiet">{html.Encode(words["password.tls"])}</p></main></body></html>
            """;
        return TypedResults.Content(body, "text/html; charset=utf-8", statusCode: wrong.Length > 0 ? status : StatusCodes.Status200OK);
    }
}
