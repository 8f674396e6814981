using Stencilwright.App.Web;
using Xunit;

namespace Stencilwright.Web.Tests;

public sealed class UploadNamesTests
{
    [Fact]
    public void Files_of_one_name_in_two_folders_are_told_apart_by_their_folders()
    {
        Assert.Equal(["top-paste.gbr", "bottom-paste.gbr", "outline.gbr"], Uploads.NamesOf([@"board\top\paste.gbr", @"board\bottom\paste.gbr", @"board\outline.gbr"]));
        Assert.Equal(["paste.gbr", "PASTE-2.gbr"], Uploads.NamesOf(["paste.gbr", "PASTE.gbr"]));
    }

    [Theory]
    [InlineData("lamp", @"lamp\LICENCE.txt", @"lamp\a.gbr", @"lamp\sub\b.gbr")]
    [InlineData("a", @"lamp\a.gbr", @"lamps\b.gbr")]
    [InlineData("pump", "LICENCE.txt", "pump-paste.gbr", "pump-outline.gbr")]
    [InlineData("LICENCE", "LICENCE.txt")]
    [InlineData("board", "board.zip")]
    [InlineData("lamp-1-12", "BOTTOM.art", "lamp-1-12.drl", "PASTE_TOP.art")]
    [InlineData("top", "top.gbr", "outline.gbr")]
    public void A_job_is_called_by_its_folder_or_by_what_its_layers_have_in_common(string title, params string[] sent) =>
        Assert.Equal(title, Uploads.TitleOf(sent, Uploads.NamesOf(sent)));

    [Fact]
    public void A_name_never_becomes_a_path_and_cannot_pass_for_another()
    {
        Assert.Equal("passwd", Uploads.Bare("../../etc/passwd"));
        Assert.Equal("b.gbr", Uploads.Bare(@"C:\a\b.gbr"));
        Assert.Equal("file", Uploads.Bare(".."));
        Assert.Equal("a_b.gbr", Uploads.Bare("a\0b.gbr"));
        Assert.Equal("abrbg.exe", Uploads.Bare("a\u202Ebrbg.exe"));
    }
}
